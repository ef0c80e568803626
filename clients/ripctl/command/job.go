package command

import (
	"errors"
	"fmt"
	"io/fs"
	"strings"

	"github.com/spf13/cobra"
	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protoreflect"

	"github.com/ripwright/ripwright/clients/files"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// job is the input of the commands about boards: a saw, an order, boards.
type job struct {
	t                         *tool
	sawName, sawFile, orderAt string
	currentAt                 string

	saw     *ripwrightv1.Saw     // nil: one of the service's own, by name
	current *ripwrightv1.Setting // where fence and blades stand; nil: at the lower ends of their travels
	order   *ripwrightv1.CutOrder
	boards  []board

	sawSource     source
	orderSource   source
	currentSource source
}

// board is a board and its place in a file.
type board struct {
	*ripwrightv1.Board
	source
}

// source is the place of a message in a file.
type source struct {
	file  *files.File
	index int
}

// at gives the place of a field.
func (s source) at(path string) string {
	if s.file == nil {
		return path
	}
	return fmt.Sprintf("%s:%d: %s", s.file.Name, s.file.Line(s.index, path), path)
}

func (j *job) flags(c *cobra.Command) {
	j.sawFlags(c)
	j.orderFlag(c)
}

func (j *job) sawFlags(c *cobra.Command) {
	c.Flags().StringVar(&j.sawName, "saw", "", "`name` of a saw: one of the service's, or of --saw-file")
	c.Flags().StringVar(&j.sawFile, "saw-file", "", "`file` with the saw")
	c.Flags().StringVar(&j.currentAt, "current-setting", "", "`file` with where fence and blades stand now; without it at the lower ends of their travels")
	completesNames(c, "saw", files.Saws, func([]string) []string { return []string{j.sawFile} })
}

func (j *job) orderFlag(c *cobra.Command) {
	c.Flags().StringVar(&j.orderAt, "order", "", "`file` with the cut order")
}

// load reads the files.
func (j *job) load(args []string) error {
	if len(args) == 0 {
		return usage("no boards are given; name a file with boards, or - for standard input")
	}
	if j.orderAt == "" {
		return usage("no order is given; name its file: --order order.yaml")
	}
	if err := j.loadSaw(); err != nil {
		return err
	}
	if err := j.loadOrder(); err != nil {
		return err
	}
	for _, name := range args {
		f, err := j.t.open(name, files.Boards)
		if err != nil {
			return err
		}
		for i := range f.Messages {
			b := board{&ripwrightv1.Board{}, source{f, i}}
			if err := f.Into(i, b.Board); err != nil {
				return failed(err)
			}
			j.boards = append(j.boards, b)
		}
	}
	return nil
}

func (j *job) loadOrder() error {
	if j.orderAt == "" {
		return usage("no order is given; name its file: --order order.yaml")
	}
	f, err := j.t.open(j.orderAt, files.Order)
	if err != nil {
		return err
	}
	j.order, j.orderSource = &ripwrightv1.CutOrder{}, source{f, 0}
	return failed(f.Into(0, j.order))
}

// choose sets the saw of a request, in the form common to all requests.
func (j *job) choose(request proto.Message) {
	m := request.ProtoReflect()
	fields := m.Descriptor().Fields()
	if j.saw != nil {
		m.Set(fields.ByName("saw"), protoreflect.ValueOfMessage(j.saw.ProtoReflect()))
	} else {
		m.Set(fields.ByName("saw_name"), protoreflect.ValueOfString(j.sawName))
	}
	if f := fields.ByName("current_setting"); f != nil && j.current != nil {
		m.Set(f, protoreflect.ValueOfMessage(j.current.ProtoReflect()))
	}
}

// loadCurrent reads where fence and blades stand.
func (j *job) loadCurrent() error {
	if j.currentAt == "" {
		return nil
	}
	f, err := j.t.open(j.currentAt, files.Setting)
	if err != nil {
		return err
	}
	j.current, j.currentSource = &ripwrightv1.Setting{}, source{f, 0}
	return failed(f.Into(0, j.current))
}

func (j *job) loadSaw() error {
	if err := j.loadCurrent(); err != nil {
		return err
	}
	switch {
	case j.sawFile == "" && j.sawName == "":
		return usage("no saw is given; name one of the service's: --saw heron, or a file with yours: --saw-file saws.yaml")
	case j.sawFile == "":
		return nil
	}
	f, err := j.t.open(j.sawFile, files.Saws)
	if err != nil {
		return err
	}
	var names []string
	for i := range f.Messages {
		s := &ripwrightv1.Saw{}
		if err := f.Into(i, s); err != nil {
			return failed(err)
		}
		names = append(names, s.GetName())
		if s.GetName() == j.sawName || j.sawName == "" && len(f.Messages) == 1 {
			j.saw, j.sawSource = s, source{f, i}
			return nil
		}
	}
	said := "--saw " + strings.Join(names, " or --saw ")
	if j.sawName == "" {
		return usage("%s has %d saws; say which: %s", j.sawFile, len(names), said)
	}
	return usage("%s has no saw called %q; write %s", j.sawFile, j.sawName, said)
}

// open reads a file and reports if it is missing or wrong.
func (t *tool) open(name string, k files.Kind) (*files.File, error) {
	f, err := files.Open(name, k, t.in)
	var faults files.Faults
	switch {
	case errors.As(err, &faults):
		return nil, input("%s\nripctl schema %s writes what such a file can hold", faults, k.Name)
	case errors.Is(err, fs.ErrNotExist):
		return nil, input("there is no file %s; ripctl demo writes files to start from", name)
	case err != nil:
		return nil, input("%w", err)
	}
	return f, nil
}

// where gives a function that locates a field of a request about b in the files.
func (j *job) where(b board, more func(path string) (string, bool)) func(string) string {
	return func(path string) string {
		if rest, ok := strings.CutPrefix(path, "board."); ok {
			return b.at(rest)
		}
		if rest, ok := strings.CutPrefix(path, "order."); ok {
			return j.orderSource.at(rest)
		}
		if rest, ok := strings.CutPrefix(path, "saw."); ok {
			return j.sawSource.at(rest)
		}
		if rest, ok := strings.CutPrefix(path, "current_setting."); ok && j.currentSource.file != nil {
			return j.currentSource.at(rest)
		}
		if flag, ok := optionAt(path); ok {
			return flag
		}
		if more != nil {
			if says, ok := more(path); ok {
				return says
			}
		}
		return path
	}
}

// carry adds what a plan makes to the order, and keeps the positions of fence and blades.
func (j *job) carry(p *ripwrightv1.Plan, fills []*ripwrightv1.Fill) {
	j.made(fills)
	j.stand(p)
}

func (j *job) made(fills []*ripwrightv1.Fill) {
	for i, f := range fills {
		it := j.order.GetItems()[i]
		it.Made = f.GetMadeAfter()
		for k, l := range f.GetLengths() {
			it.GetCrosscut().GetLengths()[k].Made = proto.Int32(l.GetMadeAfter())
		}
	}
}

// stand sets the saw to where a plan leaves it.
func (j *job) stand(p *ripwrightv1.Plan) { j.current = p.GetSetting() }
