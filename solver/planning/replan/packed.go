package replan

import (
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"

	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// errPacked says that a text is not a packed sample.
var errPacked = errors.New("replan: not a packed sample")

// MarshalJSON packs the sample: it is part of every answer, and as text a board would be
// four times as long.
func (s *Sample) MarshalJSON() ([]byte, error) { return json.Marshal(s.pack()) }

// UnmarshalJSON unpacks it.
func (s *Sample) UnmarshalJSON(text []byte) error {
	var raw []byte
	if err := json.Unmarshal(text, &raw); err != nil {
		return err
	}
	return s.unpack(raw)
}

// pack writes numbers as varints, one after another; stations as differences from the one
// before, so that most take two or three bytes.
func (s *Sample) pack() []byte {
	var out []byte
	put := func(v int64) { out = binary.AppendVarint(out, v) }
	put(s.Seen)
	put(int64(s.Expected))
	put(int64(len(s.Boards)))
	for i := range s.Boards {
		b := &s.Boards[i]
		put(int64(b.Length))
		put(int64(b.Thickness))
		straight := int64(0)
		if b.StraightNear {
			straight = 1
		}
		put(straight)
		put(int64(len(b.Stations)))
		var before wood.Station
		for _, st := range b.Stations {
			put(int64(st.X - before.X))
			put(int64(st.Near - before.Near))
			put(int64(st.Far - before.Far))
			before = st
		}
		put(int64(len(b.Defects)))
		for _, d := range b.Defects {
			for _, v := range []unit.Length{d.FromX, d.ToX, d.FromY, d.ToY} {
				put(int64(v))
			}
			put(int64(len(d.Kind)))
			out = append(out, d.Kind...)
		}
	}
	return out
}

// unpacker reads what pack wrote. After a first error it returns zeros.
type unpacker struct {
	left []byte
	err  error
}

func (u *unpacker) get() int64 {
	v, n := binary.Varint(u.left)
	if n <= 0 {
		u.err, u.left = errPacked, nil
		return 0
	}
	u.left = u.left[n:]
	return v
}

// count reads the number of elements that follow, each of which takes at least a byte.
func (u *unpacker) count(most int) int {
	n := u.get()
	if n < 0 || n > int64(most) || n > int64(len(u.left)) {
		u.err, u.left = errPacked, nil
		return 0
	}
	return int(n)
}

func (u *unpacker) length() unit.Length { return unit.Length(u.get()) }

func (u *unpacker) text() string {
	const bytes = 4 * wood.MaxKind // the most for that many characters
	n := u.count(bytes)
	t := string(u.left[:n])
	u.left = u.left[n:]
	return t
}

func (u *unpacker) board() (b wood.Board) {
	b.Length, b.Thickness, b.StraightNear = u.length(), u.length(), u.get() == 1
	var before wood.Station
	for range u.count(MaxStations) {
		before.X += u.length()
		before.Near += u.length()
		before.Far += u.length()
		b.Stations = append(b.Stations, before)
	}
	for range u.count(MaxDefects) {
		b.Defects = append(b.Defects, wood.Defect{FromX: u.length(), ToX: u.length(), FromY: u.length(), ToY: u.length(), Kind: u.text()})
	}
	return b
}

func (s *Sample) unpack(raw []byte) error {
	u := &unpacker{left: raw}
	*s = Sample{Seen: u.get(), Expected: int(u.get())}
	for range u.count(MaxBoards) {
		s.Boards = append(s.Boards, u.board())
	}
	if u.err == nil && len(u.left) > 0 {
		u.err = errPacked
	}
	return u.err
}

// Faults lists what breaks the invariants.
func (s *Sample) Faults() (l fault.List) {
	if s.Seen < 0 || s.Expected < 0 || s.Expected > len(s.Boards) || len(s.Boards) > MaxBoards {
		l.Add("seen", "is out of bounds")
	}
	for i := range s.Boards {
		b := &s.Boards[i]
		path := fmt.Sprintf("boards[%d]", i)
		if len(b.Stations) > MaxStations || len(b.Defects) > MaxDefects {
			l.Add(path, "has more than a board may have")
		}
		l.Within(path, b.Faults())
	}
	return l
}
