package command

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"github.com/ripwright/ripwright/clients/files"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/unit/people"
)

// setting is where someone wants fence and blades to stand, from a file or from flags.
type setting struct {
	fence, blades, file string
	turn                string
	skew                float64
	source
}

func (s *setting) flags(c *cobra.Command) {
	f := c.Flags()
	f.StringVar(&s.fence, "fence", "", "`position` of the fence face on the arbor, such as 153.6mm")
	f.StringVar(&s.blades, "blades", "", "`positions` of all blades, such as 150mm,220.4mm,290.6mm")
	f.Float64Var(&s.skew, "skew-mm-per-m", 0, "angle at which the board is set, in mm across per m along")
	f.StringVar(&s.turn, "turn", "", "how the board is turned first: `way` is end-for-end, edge-over-edge or end-over-end")
	f.StringVar(&s.file, "setting", "", "`file` with the setting instead")
}

// oneBoard is the input of commands about one board and a setting for it.
type oneBoard struct {
	*job
	at  setting
	how search
	id  string // of the board, if the files have several
}

func (j *oneBoard) flags(c *cobra.Command) {
	j.job.flags(c)
	j.at.flags(c)
	j.how.flags(c.Flags(), false)
	c.Flags().StringVar(&j.id, "board", "", "`name` of the board, where the files have several")
	completesNames(c, "board", files.Boards, func(args []string) []string { return args })
}

// given reports whether there is a setting at all.
func (s *setting) given() bool {
	return s.fence != "" || s.blades != "" || s.file != "" || s.skew != 0 || s.turn != ""
}

// read gives the setting.
func (s *setting) read(t *tool) (*ripwrightv1.Setting, error) {
	m := &ripwrightv1.Setting{}
	if s.file != "" {
		if s.fence != "" || s.blades != "" || s.skew != 0 || s.turn != "" {
			return nil, usage("--setting is set together with positions; set only one of them")
		}
		f, err := t.open(s.file, files.Setting)
		if err != nil {
			return nil, err
		}
		s.source = source{f, 0}
		return m, failed(f.Into(0, m))
	}
	if s.fence == "" || s.blades == "" {
		return nil, usage("no setting is given; write --fence 153.6mm --blades 150mm,220.4mm and so on, or --setting setting.yaml")
	}
	fence, err := people.Length(s.fence)
	if err != nil {
		return nil, usage("--fence %w", err)
	}
	at := fence.MM()
	m.FenceMm, m.SkewMmPerM = &at, unlessZero(s.skew)
	if s.turn != "" {
		turn, known := ripwrightv1.BoardTurn_value["BOARD_TURN_"+strings.ToUpper(strings.ReplaceAll(s.turn, "-", "_"))]
		if !known || turn == 0 {
			return nil, usage("--turn is %s; write end-for-end, edge-over-edge or end-over-end", s.turn)
		}
		m.Turn = ripwrightv1.BoardTurn(turn).Enum()
	}
	for i, text := range strings.Split(s.blades, ",") {
		l, err := people.Length(text)
		if err != nil {
			return nil, usage("--blades, blade %d: %w", i+1, err)
		}
		m.BladesMm = append(m.BladesMm, l.MM())
	}
	return m, nil
}

// where locates a field of the setting, in the file or on the command line. prefix is the
// path of the setting in the request.
func (s *setting) where(prefix string) func(path string) (string, bool) {
	return func(path string) (string, bool) {
		rest, ok := strings.CutPrefix(path, prefix)
		switch {
		case !ok:
			return "", false
		case s.file != "":
			return s.at(rest), true
		case strings.HasPrefix(rest, "fence_mm"):
			return "--fence", true
		case strings.HasPrefix(rest, "skew_mm_per_m"):
			return "--skew-mm-per-m", true
		case rest == "turn":
			return "--turn", true
		case strings.HasPrefix(rest, "blades_mm["):
			i := 0
			if _, err := fmt.Sscanf(rest, "blades_mm[%d]", &i); err == nil {
				return fmt.Sprintf("--blades, blade %d:", i+1), true
			}
		case rest == "blades_mm":
			return "--blades", true
		}
		return "", false
	}
}

// pick gives the board that a command is about.
func (j *job) pick(id string) (board, error) {
	for _, b := range j.boards {
		if b.GetBoardId() == id || id == "" && len(j.boards) == 1 {
			return b, nil
		}
	}
	if id == "" {
		return board{}, usage("there are %d boards; say which: --board %s", len(j.boards), j.boards[0].name())
	}
	return board{}, usage("no board is called %q; the first one is --board %s", id, j.boards[0].name())
}
