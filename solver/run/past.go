package run

import (
	"encoding/binary"
	"encoding/json"
	"errors"
	"hash/crc32"
	"slices"
)

// Verdict is the effect of a confirmation.
type Verdict uint8

// The verdicts. All but Counted change nothing.
const (
	Counted          Verdict = iota
	CountedBefore            // the same confirmation was counted before
	CountedOtherwise         // a different confirmation was counted before
	BoardRefused             // the board was refused
	NoSuchBoard              // the message had no board
	TooLongAgo               // the run no longer knows the message
)

// maxPast is how many boards a run remembers the fates of: as many as can wait for their
// confirmation, since a client that lost answers sends those again.
const maxPast = MaxInFlight

// Past is what happened to the boards last settled or refused.
type Past struct {
	fates []fate // oldest first
	// lost is the greatest sequence of which the fate was dropped; 0: none.
	lost int32
}

// fate is what happened to a board.
type fate struct {
	sequence int32
	content  uint32 // of the confirmation; 0: the board was refused
}

func (p *Past) add(f fate) {
	if len(p.fates) == maxPast {
		p.lost = max(p.lost, p.fates[0].sequence)
		p.fates = slices.Delete(p.fates, 0, 1)
	}
	p.fates = append(p.fates, f)
}

// content gives a checksum that distinguishes confirmations. It is never 0.
func (c *Confirmation) content() uint32 {
	text, _ := json.Marshal(c) // plain fields, which never fail
	return max(crc32.ChecksumIEEE(text), 1)
}

// verdict gives the verdict on a confirmation whose board is not held.
func (r *Run) verdict(c Confirmation) Verdict {
	for _, f := range r.Past.fates {
		switch {
		case f.sequence != c.Sequence:
		case f.content == 0:
			return BoardRefused
		case f.content == c.content():
			return CountedBefore
		default:
			return CountedOtherwise
		}
	}
	if c.Sequence <= r.Past.lost {
		return TooLongAgo
	}
	return NoSuchBoard
}

// Refuse records that the board of the last message was refused.
func (r *Run) Refuse() {
	for _, t := range r.sums() {
		t.Refused++
	}
	r.Past.add(fate{sequence: r.Sequence})
}

// MarshalJSON writes the past, eight bytes a board.
func (p Past) MarshalJSON() ([]byte, error) {
	raw := binary.BigEndian.AppendUint32(nil, uint32(p.lost))
	for _, f := range p.fates {
		raw = binary.BigEndian.AppendUint32(raw, uint32(f.sequence))
		raw = binary.BigEndian.AppendUint32(raw, f.content)
	}
	return json.Marshal(raw)
}

// UnmarshalJSON reads what MarshalJSON wrote.
func (p *Past) UnmarshalJSON(text []byte) error {
	var raw []byte
	if err := json.Unmarshal(text, &raw); err != nil {
		return err
	}
	if len(raw)%8 != 4 || len(raw) > 4+8*maxPast {
		return errors.New("the past of a run is cut short")
	}
	*p = Past{lost: int32(binary.BigEndian.Uint32(raw))}
	for raw = raw[4:]; len(raw) > 0; raw = raw[8:] {
		p.fates = append(p.fates, fate{int32(binary.BigEndian.Uint32(raw)), binary.BigEndian.Uint32(raw[4:])})
	}
	return nil
}

// bounded reports whether no board of the past comes after the last message.
func (p *Past) bounded(last int32) bool {
	return p.lost >= 0 && p.lost <= last &&
		!slices.ContainsFunc(p.fates, func(f fate) bool { return f.sequence < 1 || f.sequence > last })
}
