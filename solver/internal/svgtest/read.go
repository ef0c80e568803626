// Package svgtest reads drawings back, for tests of the packages that draw them.
package svgtest

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"strconv"
	"strings"
	"testing"
)

// Element is an SVG element that was read back.
type Element struct {
	Name, Text string
	Attr       map[string]string
}

// Number gives an attribute, which must be a number.
func (e Element) Number(t *testing.T, name string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(e.Attr[name], 64)
	if err != nil {
		t.Fatalf("%s of %v: %v", name, e, err)
	}
	return v
}

// Parse reads a drawing; it fails the test if that is not XML.
func Parse(t *testing.T, doc []byte) (all []Element) {
	t.Helper()
	for d := xml.NewDecoder(bytes.NewReader(doc)); ; {
		token, err := d.Token()
		switch {
		case errors.Is(err, io.EOF):
			return all
		case err != nil:
			t.Fatal(err)
		}
		switch token := token.(type) {
		case xml.StartElement:
			e := Element{Name: token.Name.Local, Attr: map[string]string{}}
			for _, a := range token.Attr {
				e.Attr[a.Name.Local] = a.Value
			}
			all = append(all, e)
		case xml.CharData:
			if len(all) > 0 {
				all[len(all)-1].Text += strings.TrimSpace(string(token))
			}
		}
	}
}
