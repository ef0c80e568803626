package fault

// Reason is the kind of a fault, for programs.
type Reason uint8

// What can be wrong with a field.
const (
	Contradiction    Reason = iota // it cannot stand beside what other fields say
	Missing                        // it is needed and absent
	OutOfRange                     // the number is none that the field takes
	WrongLength                    // a text with more or fewer characters than the field takes
	WrongCount                     // a list with more or fewer entries than the field takes
	NotUTF8                        // a text that is not UTF-8
	UnknownField                   // there is no such field
	UnknownWord                    // there is no such word of an enum
	WrongType                      // the value is not of the field's type
	Duplicate                      // another entry has the same name or place
	UnknownName                    // it names something that the request does not have
	OutsideSawLimits               // the board lies outside the saw's limits
	WrongTurn                      // it does not go with what happened before
)

var reasons = [...]string{
	Contradiction: "CONTRADICTION", Missing: "MISSING", OutOfRange: "OUT_OF_RANGE", WrongLength: "WRONG_LENGTH",
	WrongCount: "WRONG_COUNT", NotUTF8: "NOT_UTF8", UnknownField: "UNKNOWN_FIELD", UnknownWord: "UNKNOWN_WORD",
	WrongType: "WRONG_TYPE", Duplicate: "DUPLICATE", UnknownName: "UNKNOWN_NAME",
	OutsideSawLimits: "OUTSIDE_SAW_LIMITS", WrongTurn: "WRONG_TURN",
}

// String gives the word by which the service's schema knows the reason.
func (r Reason) String() string { return reasons[r] }
