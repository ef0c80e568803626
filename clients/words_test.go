package clients

import (
	"bytes"
	"encoding/csv"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// counted is the table of the number of words that each guide has and had.
const counted = "../testdata/words.csv"

// written are the guides that programs write.
var written = []string{"proto/REFERENCE.md", "deploy/CONFIGURATION.md"}

var (
	aWord   = regexp.MustCompile(`[A-Za-z0-9]`)
	picture = regexp.MustCompile(`!\[[^\]]*\]\([^)]*\)`)
)

// words counts the words of a guide outside code blocks and the alternative texts of
// pictures: whatever is between spaces and has a letter or a digit.
func words(text string) int {
	n, code := 0, false
	for line := range strings.Lines(text) {
		if strings.HasPrefix(strings.TrimSpace(line), "```") {
			code = !code
			continue
		}
		if code {
			continue
		}
		for _, w := range strings.Fields(picture.ReplaceAllString(line, "")) {
			if aWord.MatchString(w) {
				n++
			}
		}
	}
	return n
}

// allGuides finds the guides that people write, by their paths from the project's root.
// Records of decisions are not among them: they have a screen each, and their number
// grows.
func allGuides(t *testing.T) []string {
	t.Helper()
	var found []string
	if err := fs.WalkDir(os.DirFS(".."), ".", func(path string, d fs.DirEntry, err error) error {
		switch hidden := strings.HasPrefix(d.Name(), ".") && path != "." && d.Name() != ".github"; {
		case err != nil:
			return err
		case d.IsDir() && (hidden || d.Name() == "out" || d.Name() == "decisions" || slices.Contains(made, d.Name())):
			return fs.SkipDir
		case strings.HasSuffix(path, ".md") && !slices.Contains(written, path):
			found = append(found, path)
		}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	return found
}

// The guides together have at most two thirds of the words that they had at commit
// be21ddc^, before the front page was rewritten. The table gives for each guide the
// number then and at the last count; -update counts again.
func TestGuidesWords(t *testing.T) {
	raw, err := os.ReadFile(counted)
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(bytes.NewReader(raw)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	then := map[string]int{}
	before := 0
	for _, row := range rows[1 : len(rows)-1] {
		n, err := strconv.Atoi(row[1])
		if err != nil {
			t.Fatal(err)
		}
		then[row[0]] = n
		before += n
	}
	now := map[string]int{}
	after := 0
	for _, path := range allGuides(t) {
		text, err := os.ReadFile(filepath.Join("..", path))
		if err != nil {
			t.Fatal(err)
		}
		now[path] = words(string(text))
		after += now[path]
	}
	var table bytes.Buffer
	w := csv.NewWriter(&table)
	write := func(guide string, then, now int) {
		_ = w.Write([]string{guide, strconv.Itoa(then), strconv.Itoa(now)})
	}
	_ = w.Write(rows[0])
	names := []string{}
	for name := range then {
		names = append(names, name)
	}
	for name := range now {
		if _, ok := then[name]; !ok {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	for _, name := range names {
		write(name, then[name], now[name])
	}
	write("all", before, after)
	w.Flush()
	if *update {
		if err := os.WriteFile(counted, table.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if 3*after > 2*before {
		t.Errorf("the guides have %d words, more than two thirds of %d; shorten them\n%s", after, before, table.String())
	}
	t.Logf("\n%s", table.String())
}

// Words in code and in alternative texts are not counted, nor are signs between spaces.
func TestWords(t *testing.T) {
	if n := words("# A heading\n\n- two words\n\n```sh\nnot these\n```\n| a | 1 |\n![what it shows](it.svg)\n"); n != 6 {
		t.Errorf("%d words, want 6", n)
	}
}
