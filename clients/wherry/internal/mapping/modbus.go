package mapping

import (
	"net"
	"slices"
	"strings"

	"github.com/ripwright/ripwright/clients/wherry/internal/modbus"
)

// Modbus is the connection to a PLC by Modbus/TCP.
type Modbus struct {
	Address string `yaml:"address"`
	UnitID  *uint8 `yaml:"unit_id"`
	Order   string `yaml:"order"`
}

// defaults fills in what was left out.
func (b *Modbus) defaults() {
	if b.UnitID == nil {
		one := uint8(1)
		b.UnitID = &one
	}
	if b.Order = strings.ToUpper(b.Order); b.Order == "" {
		b.Order = modbus.Orders[0]
	}
}

// modbus reports errors in a PLC by Modbus, and in the addresses of its words.
func (m *Mapping) modbus(wrong func(string, string, ...any), needed func(string, string, string)) {
	b := m.PLC.Modbus
	needed("plc.modbus.address", b.Address, "host:port of the PLC; the usual port is 502")
	if _, port, err := net.SplitHostPort(b.Address); b.Address != "" && (err != nil || port == "") {
		wrong("plc.modbus.address", "is %q; must be host:port", b.Address)
	}
	if !slices.Contains(modbus.Orders, b.Order) {
		wrong("plc.modbus.order", "is %q; must be one of %s", b.Order, strings.Join(modbus.Orders, ", "))
		return
	}
	if m.PLC.Slots < 1 {
		return // reported already
	}
	for _, f := range modbus.Faults(m.Words, b.Order, m.PLC.Slots) {
		wrong("words."+f.Word, "%s", f.Says)
	}
}

// registers gives the configuration for Modbus/TCP.
func (m *Mapping) registers(unsecured bool) modbus.Config {
	b := m.PLC.Modbus
	return modbus.Config{Address: b.Address, UnitID: *b.UnitID, Order: b.Order, Words: m.Words, Unit: units[m.PLC.Unit], Slots: m.PLC.Slots,
		Timeout: Ms(m.PLC.TimeoutMs), Unsecured: unsecured}
}
