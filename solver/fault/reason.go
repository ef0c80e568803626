package fault

// Reason is the kind of a fault, for programs.
type Reason uint8

// What can be wrong with a field.
const (
	Contradiction    Reason = iota // it contradicts other fields
	Missing                        // a required field is absent
	OutOfRange                     // the field does not take this number
	WrongLength                    // a text with more or fewer characters than the field takes
	WrongCount                     // a list with more or fewer entries than the field takes
	NotUTF8                        // a text that is not UTF-8
	UnknownField                   // there is no such field
	UnknownWord                    // the enum has no such word
	WrongType                      // the value is not of the field's type
	Duplicate                      // another entry has the same name or place
	UnknownName                    // it names something that the request lacks
	OutsideSawLimits               // the board is outside the saw's limits
	WrongTurn                      // it does not follow from what happened before
)

var reasons = [...]string{
	Contradiction: "CONTRADICTION", Missing: "MISSING", OutOfRange: "OUT_OF_RANGE", WrongLength: "WRONG_LENGTH",
	WrongCount: "WRONG_COUNT", NotUTF8: "NOT_UTF8", UnknownField: "UNKNOWN_FIELD", UnknownWord: "UNKNOWN_WORD",
	WrongType: "WRONG_TYPE", Duplicate: "DUPLICATE", UnknownName: "UNKNOWN_NAME",
	OutsideSawLimits: "OUTSIDE_SAW_LIMITS", WrongTurn: "WRONG_TURN",
}

// String gives the schema's word for the reason.
func (r Reason) String() string { return reasons[r] }
