package svg

import "fmt"

// Arrowheads defines the heads of Arrow and Between in a colour, once per drawing.
func (c *Canvas) Arrowheads(colour string) {
	fmt.Fprintf(&c.Out, `<defs><marker id="head" viewBox="0 0 10 10" refX="9" refY="5" markerWidth="11" markerHeight="11" markerUnits="userSpaceOnUse" orient="auto-start-reverse"><path d="M0 1L10 5L0 9Z" fill="%s"/></marker></defs>`+"\n", colour)
}

// Arrow draws a path with a head at its end.
func (c *Canvas) Arrow(d, style string) { c.Path(d, style+` fill="none" marker-end="url(#head)"`) }

// Between draws a path with a head at either end, as for dimensions.
func (c *Canvas) Between(d, style string) {
	c.Path(d, style+` fill="none" marker-start="url(#head)" marker-end="url(#head)"`)
}
