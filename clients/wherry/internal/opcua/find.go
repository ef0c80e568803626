package opcua

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/gopcua/opcua/ua"

	"github.com/ripwright/ripwright/clients/wherry/internal/contract"
	"github.com/ripwright/ripwright/clients/wherry/internal/plc"
)

// find looks up every word of the mapping in the PLC.
func (p *PLC) find(ctx context.Context, c *Config) error {
	uris, err := p.client.NamespaceArray(ctx)
	if err != nil {
		return errors.Join(plc.ErrGone, err)
	}
	for _, k := range contract.Words {
		at, ok := c.Words[k.Name]
		if !ok {
			continue
		}
		w := &word{Word: k, unit: 1}
		if w.node, err = node(at, c.Namespace, uris); err != nil {
			return fmt.Errorf("%s: %w", k.Name, err)
		}
		if k.Length {
			w.unit = c.Unit
		}
		if err := p.learn(ctx, w); err != nil {
			return err
		}
		p.words[k.Name], p.order = w, append(p.order, k.Name)
	}
	return nil
}

// node gives the node of an address.
func node(at, namespace string, uris []string) (*ua.NodeID, error) {
	if uri, rest, ok := strings.Cut(strings.TrimPrefix(at, "nsu="), ";"); ok && strings.HasPrefix(at, "nsu=") {
		namespace, at = uri, rest
	}
	i := slices.Index(uris, namespace)
	if i < 0 {
		return nil, fmt.Errorf("the PLC has no namespace %q; it has %s", namespace, strings.Join(uris, ", "))
	}
	return ua.ParseNodeID(fmt.Sprintf("ns=%d;%s", i, at))
}

// learn reads type, length, access, unit and range of a word.
func (p *PLC) learn(ctx context.Context, w *word) error {
	n := p.client.Node(w.node)
	d, err := n.Attributes(ctx, ua.AttributeIDValue, ua.AttributeIDDataType, ua.AttributeIDUserAccessLevel, ua.AttributeIDArrayDimensions)
	if err != nil {
		return errors.Join(plc.ErrGone, err)
	}
	if d[1].Status != ua.StatusOK {
		w.fault = fmt.Errorf("is not on the PLC: %w", d[1].Status)
		return nil
	}
	if t := d[1].Value.NodeID(); t != nil && t.Namespace() == 0 {
		w.kind = ua.TypeID(t.IntID())
	}
	if d[2].Status == ua.StatusOK {
		w.access = ua.AccessLevelType(d[2].Value.Uint())
	}
	if d[0].Status == ua.StatusOK && d[0].Value != nil && d[0].Value.Type() != ua.TypeIDNull {
		w.kind = d[0].Value.Type()
		if w.array = d[0].Value.Has(ua.VariantArrayValues); w.array {
			w.entries = int(d[0].Value.ArrayLength())
		}
	}
	if d[3].Status == ua.StatusOK && d[3].Value != nil {
		if l, ok := d[3].Value.Value().([]uint32); ok && len(l) == 1 && l[0] > 0 {
			w.array, w.entries = true, int(l[0])
		}
	}
	if w.Length {
		return p.units(ctx, w)
	}
	return nil
}

// unitsOfLength are the codes of UN/CEFACT Recommendation 20 as numbers by OPC 10000-8
// (Data Access, 5.6.3): each character is a byte.
var unitsOfLength = map[int32]float64{
	'M'<<16 | 'M'<<8 | 'T': 1,
	'C'<<16 | 'M'<<8 | 'T': 10,
	'M'<<16 | 'T'<<8 | 'R': 1000,
	'I'<<16 | 'N'<<8 | 'H': 25.4,
	'F'<<16 | 'O'<<8 | 'T': 304.8,
	'4'<<8 | 'H':           0.001, // micrometre
}

// units reads a word's unit and range, which are optional. Lengths are scaled by the unit,
// so one that cannot be read is not taken to be absent.
func (p *PLC) units(ctx context.Context, w *word) error {
	unit, err := p.property(ctx, w, "EngineeringUnits")
	if err != nil {
		return err
	}
	if u, ok := unit.(*ua.EUInformation); ok && u.UnitID > 0 {
		mm, known := unitsOfLength[u.UnitID]
		if w.told = known; known {
			w.unit = mm
		} else {
			w.strange = u.UnitID
		}
	}
	within, err := p.property(ctx, w, "EURange")
	if err != nil {
		return err
	}
	if r, ok := within.(*ua.Range); ok {
		w.low, w.high = r.Low, r.High
	}
	return nil
}

// property reads a property of a word; nil: it has none, or none that is set.
func (p *PLC) property(ctx context.Context, w *word, name string) (any, error) {
	id, err := p.client.Node(w.node).TranslateBrowsePathsToNodeIDs(ctx, []*ua.QualifiedName{{Name: name}})
	var v *ua.Variant
	if err == nil {
		v, err = p.client.Node(id).Value(ctx)
	}
	switch {
	case absent(err) || err == nil && v == nil:
		return nil, nil
	case err != nil:
		return nil, fmt.Errorf("%s: its %s: %w", w.Name, name, err)
	}
	if x, ok := v.Value().(*ua.ExtensionObject); ok && x != nil {
		return x.Value, nil
	}
	return nil, nil
}

// absent reports whether an error says that the PLC has no such node or attribute. All
// others, those of the connection among them, say nothing about that.
func absent(err error) bool {
	return errors.Is(err, ua.StatusBadNoMatch) || errors.Is(err, ua.StatusBadNodeIDUnknown) || errors.Is(err, ua.StatusBadAttributeIDInvalid)
}

// Check compares the mapping with the PLC.
func (p *PLC) Check(context.Context) (l []plc.Finding, err error) {
	for _, k := range contract.Words {
		w := p.words[k.Name]
		if w == nil {
			if !k.Optional {
				l = append(l, plc.Finding{Word: k.Name, Says: "is not in the mapping: " + k.Says})
			}
			continue
		}
		says := w.findings()
		if s := w.Wrong(w.entries, p.slots); w.array && s != "" {
			says = append(says, s)
		}
		if near := p.words[contract.Near]; near != nil && (k.Name == contract.Far || k.Name == contract.Positions) && w.entries != near.entries {
			says = append(says, fmt.Sprintf("has %d elements; near has %d", w.entries, near.entries))
		}
		for _, s := range says {
			l = append(l, plc.Finding{Word: k.Name, Says: s})
		}
	}
	return l, nil
}

func (w *word) findings() (l []string) {
	if w.fault != nil {
		return []string{w.fault.Error()}
	}
	array := w.Kind == contract.Numbers || w.Kind == contract.Reals
	if array != w.array {
		l = append(l, map[bool]string{true: "must be an array", false: "must not be an array"}[array])
	}
	good := map[contract.Kind][]ua.TypeID{
		contract.Number:  {ua.TypeIDUint32, ua.TypeIDUint64, ua.TypeIDInt64},
		contract.Numbers: {ua.TypeIDUint32, ua.TypeIDUint64, ua.TypeIDInt64, ua.TypeIDUint16, ua.TypeIDByte},
		contract.Real:    {ua.TypeIDFloat, ua.TypeIDDouble},
		contract.Reals:   {ua.TypeIDFloat, ua.TypeIDDouble},
		contract.Text:    {ua.TypeIDString},
	}[w.Kind]
	small := w.Name == contract.Points || w.Name == contract.PLCReason || w.Name == contract.DeclinedReason || w.Name == contract.PlanStrips || w.Name == contract.PlanTurn
	if small {
		good = append(good, ua.TypeIDUint16)
	}
	if !slices.Contains(good, w.kind) {
		l = append(l, fmt.Sprintf("has type %s, which cannot hold a %s", strings.TrimPrefix(w.kind.String(), "TypeID"), map[bool]string{true: w.Kind.String(), false: "32-bit " + w.Kind.String()}[w.Kind == contract.Text]))
	}
	if w.access&ua.AccessLevelTypeCurrentRead == 0 {
		l = append(l, "cannot be read with this user's rights")
	}
	if w.Ours && w.access&ua.AccessLevelTypeCurrentWrite == 0 {
		l = append(l, "cannot be written with this user's rights")
	}
	if w.strange != 0 {
		l = append(l, fmt.Sprintf("has UnitId %d, which is not a known unit of length", w.strange))
	}
	return l
}
