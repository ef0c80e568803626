package lpmodel

import (
	"errors"
	"fmt"
	"math"
	"os"
	"os/exec"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"
)

// Solver is a general solver that is installed as a programme.
type Solver struct {
	Name    string
	program string
	// Solve gives the optimum of the model in a file, and the processor time that solving
	// took, without starting the solver and reading the model.
	Solve func(file string) (optimum float64, took time.Duration, err error)
}

// Solvers lists the solvers, all published and widely used, with gaps set to 0.
var Solvers = []Solver{{"GLPK", "glpsol", glpk}, {"CBC", "cbc", cbc}, {"HiGHS", "node", highs}}

// Installed reports whether the solver's programme is there.
func (s *Solver) Installed() bool {
	_, err := exec.LookPath(s.program)
	if err == nil && s.Name == "HiGHS" {
		err = exec.Command("node", "-e", `require("highs")`).Run()
	}
	return err == nil
}

// run gives the output of a programme and its processor time.
func run(name string, arg ...string) (string, time.Duration, error) {
	c := exec.Command(name, arg...)
	out, err := c.CombinedOutput()
	if err != nil {
		return "", 0, fmt.Errorf("%s: %w\n%.800s", name, err, out)
	}
	return string(out), c.ProcessState.UserTime() + c.ProcessState.SystemTime(), nil
}

func number(text, pattern string) (float64, error) {
	m := regexp.MustCompile(pattern).FindStringSubmatch(text)
	if m == nil {
		return 0, fmt.Errorf("no %s in\n%.800s", pattern, text)
	}
	return strconv.ParseFloat(m[1], 64)
}

// glpk reports its time in tenths of a second, so it is measured from outside, less the
// time for only reading the model.
func glpk(file string) (float64, time.Duration, error) {
	out := file + ".glpk"
	_, reading, err := run("glpsol", "--lp", file, "--check")
	if err != nil {
		return 0, 0, err
	}
	_, took, err := run("glpsol", "--lp", file, "--mipgap", "0", "-o", out)
	if err != nil {
		return 0, 0, err
	}
	took = max(took-reading, 0)
	text, err := os.ReadFile(out)
	if err != nil {
		return 0, 0, err
	}
	if !strings.Contains(string(text), "INTEGER OPTIMAL") {
		return 0, 0, fmt.Errorf("GLPK: %.400s", text)
	}
	v, err := number(string(text), `Objective:\s+obj = (\S+)`)
	return v, took, err
}

// cbc solves a model again without preprocessing and cuts if CBC fails an internal
// assertion: `crunch` of its interface to linear programmes does so on models that it
// solves without them.
func cbc(file string) (float64, time.Duration, error) {
	exactly := []string{file, "-ratioGap", "0", "-allowableGap", "0"}
	text, _, err := run("cbc", append(slices.Clone(exactly), "-solve", "-quit")...)
	if exit := (*exec.ExitError)(nil); errors.As(err, &exit) && !exit.Exited() {
		text, _, err = run("cbc", append(exactly, "-preprocess", "off", "-cutsOnOff", "off", "-solve", "-quit")...)
	}
	if err != nil {
		return 0, 0, err
	}
	if !strings.Contains(text, "Optimal solution found") {
		return 0, 0, fmt.Errorf("CBC: %.800s", text)
	}
	v, err := number(text, `Objective value:\s+(\S+)`)
	if err != nil {
		return 0, 0, err
	}
	took, err := number(text, `Total time \(CPU seconds\):\s+(\S+)`)
	return math.Abs(v), time.Duration(took * float64(time.Second)), err
}

const highsScript = `const load = require("highs"), fs = require("fs");
load().then(h => { const m = fs.readFileSync(process.argv[1], "utf8"), t = process.cpuUsage();
const r = h.solve(m, {mip_rel_gap: 0, mip_abs_gap: 0}), u = process.cpuUsage(t), took = (u.user + u.system) / 1000;
if (r.Status !== "Optimal") throw new Error(r.Status); console.log("objective " + r.ObjectiveValue + " ms " + took); });`

func highs(file string) (float64, time.Duration, error) {
	text, _, err := run("node", "-e", highsScript, file)
	if err != nil {
		return 0, 0, err
	}
	v, err := number(text, `objective (\S+)`)
	if err != nil {
		return 0, 0, err
	}
	took, err := number(text, `ms (\S+)`)
	return v, time.Duration(took * float64(time.Millisecond)), err
}
