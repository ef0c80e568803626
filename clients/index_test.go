package clients

import (
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// onePage is how many words, beside a picture, fit a printed page.
const onePage = 500

// linked gives the pages that a page of the project links to, by their paths from its
// root; a folder stands for its README.md.
func linked(t *testing.T, name, text string) (pages []string) {
	t.Helper()
	for _, l := range regexp.MustCompile(`\]\(([^)#:]+)[)#]`).FindAllStringSubmatch(text, -1) {
		to := path.Join(path.Dir(name), l[1])
		if at, err := os.Stat(filepath.Join("..", to)); err == nil && at.IsDir() {
			to = path.Join(to, "README.md")
		}
		if strings.HasSuffix(to, ".md") {
			pages = append(pages, to)
		}
	}
	return pages
}

func page(t *testing.T, name string) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("..", name))
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// The designs and the records of decisions that the contributor's guide lists fit a
// printed page each. A README is a guide, which may be longer.
func TestDesignsFitAPage(t *testing.T) {
	text := page(t, "DEVELOPERS.md")
	lists, _, ok := strings.Cut(text, "## Commands")
	if !ok {
		t.Fatal("the contributor's guide has no commands after its designs and decisions")
	}
	all := linked(t, "DEVELOPERS.md", lists)
	if len(all) < 20 {
		t.Errorf("only %d designs and decisions are listed: %v", len(all), all)
	}
	for _, name := range all {
		if path.Base(name) == "README.md" {
			continue
		}
		if n := words(page(t, name)); n > onePage {
			t.Errorf("%s has %d words, above the %d of a page: cut it, or give a part a page of its own", name, n, onePage)
		}
	}
}

// Whoever begins at the front page finds every guide by links.
func TestEveryGuideIsFound(t *testing.T) {
	found := []string{"README.md"}
	for i := 0; i < len(found); i++ {
		for _, to := range linked(t, found[i], page(t, found[i])) {
			if _, err := os.Stat(filepath.Join("..", to)); err == nil && !slices.Contains(found, to) {
				found = append(found, to)
			}
		}
	}
	for _, name := range allGuides(t) {
		// The introduction is part of the reference.
		if name != "proto/document/intro.md" && !slices.Contains(found, name) {
			t.Errorf("no link leads from the front page to %s", name)
		}
	}
}
