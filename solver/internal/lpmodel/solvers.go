package lpmodel

import (
	"fmt"
	"math"
	"os"
	"os/exec"
	"regexp"
	"strconv"
	"strings"
	"time"
)

// Solver is a general solver that is installed as a programme.
type Solver struct {
	Name    string
	program string
	// Solve gives the optimum of the model in a file, and the time that the solver
	// itself says or is seen to have taken, its start left out.
	Solve func(file string) (optimum float64, took time.Duration, err error)
}

// Solvers lists the solvers, all published and widely used, gaps set to 0.
var Solvers = []Solver{{"GLPK", "glpsol", glpk}, {"CBC", "cbc", cbc}, {"HiGHS", "node", highs}}

// Installed reports whether the solver's programme is there.
func (s *Solver) Installed() bool {
	_, err := exec.LookPath(s.program)
	if err == nil && s.Name == "HiGHS" {
		err = exec.Command("node", "-e", `require("highs")`).Run()
	}
	return err == nil
}

func run(name string, arg ...string) (string, error) {
	out, err := exec.Command(name, arg...).CombinedOutput()
	if err != nil {
		return "", fmt.Errorf("%s: %w\n%.800s", name, err, out)
	}
	return string(out), nil
}

func number(text, pattern string) (float64, error) {
	m := regexp.MustCompile(pattern).FindStringSubmatch(text)
	if m == nil {
		return 0, fmt.Errorf("no %s in\n%.800s", pattern, text)
	}
	return strconv.ParseFloat(m[1], 64)
}

// glpk tells its time in tenths of a second, so it is taken from outside, less
// what it needs for reading the model only.
func glpk(file string) (float64, time.Duration, error) {
	out := file + ".glpk"
	start := time.Now()
	if _, err := run("glpsol", "--lp", file, "--check"); err != nil {
		return 0, 0, err
	}
	reading := time.Since(start)
	start = time.Now()
	if _, err := run("glpsol", "--lp", file, "--mipgap", "0", "-o", out); err != nil {
		return 0, 0, err
	}
	took := max(time.Since(start)-reading, 0)
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

func cbc(file string) (float64, time.Duration, error) {
	text, err := run("cbc", file, "-ratioGap", "0", "-allowableGap", "0", "-solve", "-quit")
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
load().then(h => { const m = fs.readFileSync(process.argv[1], "utf8"), t = performance.now();
const r = h.solve(m, {mip_rel_gap: 0, mip_abs_gap: 0}), took = performance.now() - t;
if (r.Status !== "Optimal") throw new Error(r.Status); console.log("objective " + r.ObjectiveValue + " ms " + took); });`

func highs(file string) (float64, time.Duration, error) {
	text, err := run("node", "-e", highsScript, file)
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
