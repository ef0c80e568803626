// Package marks distinguishes items in every picture and page: each has a letter, a tint
// and a pattern that follow from its place in the order, so that an item looks the same
// everywhere. The first twelve differ by their patterns alone, for prints in grey.
package marks

import (
	"slices"
	"strconv"
)

// Mark is the mark of one item.
type Mark struct {
	Letter  string
	Tint    int // index into Tints
	Pattern int // index into Patterns
}

// Of gives the mark of the item at an index of its order, from 0. Letters never repeat;
// tint and pattern together repeat after 96 items.
func Of(i int) Mark {
	return Mark{Letter: letter(i), Tint: (i + i/len(patterns)) % len(tints), Pattern: i % len(patterns)}
}

// letter counts A to Z and continues with A2.
func letter(i int) string {
	l := string(rune('A' + i%26))
	if i >= 26 {
		l += strconv.Itoa(i/26 + 1)
	}
	return l
}

// Tints gives the background colours, all light enough for black text, of different
// lightness.
func Tints() []string { return slices.Clone(tints) }

var tints = []string{"#9cc7d8", "#f0bd69", "#a3c88d", "#d8b4d4", "#efe08d", "#8fb0a9", "#e3a48b", "#c9ced4"}

// Pattern lies over a tint. It repeats every Wide and High pixels.
type Pattern struct {
	Name   string `json:"name"`
	Wide   int    `json:"wide"`
	High   int    `json:"high"`
	Stroke string `json:"stroke"` // a path to be stroked, 1.4 pixels wide; may be empty
	Fill   string `json:"fill"`   // a path to be filled; may be empty
}

// Patterns gives all patterns. None has long lines at 45 degrees, which mark waste.
func Patterns() []Pattern { return slices.Clone(patterns) }

var patterns = []Pattern{
	{Name: "plain", Wide: 12, High: 12},
	{Name: "dots", Wide: 12, High: 12, Fill: "M1.4 3a1.6 1.6 0 1 0 3.2 0a1.6 1.6 0 1 0-3.2 0zM7.4 9a1.6 1.6 0 1 0 3.2 0a1.6 1.6 0 1 0-3.2 0z"},
	{Name: "grain", Wide: 32, High: 8, Stroke: "M0 2H20M16 6H32"},
	{Name: "bars", Wide: 14, High: 8, Stroke: "M4 0V8"},
	{Name: "rings", Wide: 15, High: 14, Stroke: "M4 7a3.5 3.5 0 1 0 7 0a3.5 3.5 0 1 0-7 0z"},
	{Name: "steps", Wide: 12, High: 12, Stroke: "M0 3H6V9H12M12 3V9"},
	{Name: "crosses", Wide: 12, High: 11, Stroke: "M6 2V9M2 5.5H10"},
	{Name: "bricks", Wide: 20, High: 12, Stroke: "M0 .6H20M0 6.6H20M5 .6V6.6M15 6.6V12"},
	{Name: "ticks", Wide: 14, High: 10, Stroke: "M2 8L5 2M9 8L12 2"},
	{Name: "wedges", Wide: 18, High: 14, Fill: "M4 11L9 3L14 11z"},
	{Name: "waves", Wide: 20, High: 9, Stroke: "M0 5Q5-1 10 5T20 5"},
	{Name: "blocks", Wide: 14, High: 12, Fill: "M0 0H7V6H0zM7 6H14V12H7z"},
}
