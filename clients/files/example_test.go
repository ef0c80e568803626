package files_test

import (
	"fmt"

	"github.com/ripwright/ripwright/clients/files"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// An order as people write it, lengths with their units. Errors are reported by line.
func ExampleRead() {
	const text = `
order_id: DRAWERS-7
items:
  - item_id: side
    width: 3-3/4in
    value: 12
    required: {length: 400m}
`
	f, err := files.Read("order.yaml", []byte(text), files.Order)
	if err != nil {
		fmt.Println(err)
		return
	}
	var order ripwrightv1.CutOrder
	if err := f.Into(0, &order); err != nil {
		fmt.Println(err)
		return
	}
	for _, it := range order.GetItems() {
		fmt.Println(it.GetItemId(), it.GetWidthMm(), "mm,", it.GetRequired().GetLengthM(), "m")
	}
	_, err = files.Read("order.yaml", []byte("items:\n  - item_id: side\n    widht: 95mm\n"), files.Order)
	fmt.Println(err)
	// Output:
	// side 95.25 mm, 400 m
	// order.yaml:3: items[0].widht is not a field; write width
}
