package mqtt

import (
	"encoding/json"
	"strings"
	"time"

	"github.com/ripwright/ripwright/clients/wherry/internal/handover"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// The messages, as defined in messages.schema.json.

type planMessage struct {
	Kind     string  `json:"kind"`
	Run      string  `json:"run"`
	At       string  `json:"at"`
	Boot     uint32  `json:"boot"`
	Number   uint32  `json:"number"`
	BoardID  string  `json:"board_id"`
	Sequence int32   `json:"sequence"`
	OrderID  string  `json:"order_id,omitempty"`
	Worth    float64 `json:"worth"`
	// YieldRatio is of the plan's account, if there is one.
	YieldRatio *float64  `json:"yield_ratio,omitempty"`
	FenceMm    float64   `json:"fence_mm"`
	BladesMm   []float64 `json:"blades_mm"`
	SkewMmPerM float64   `json:"skew_mm_per_m"`
	Turn       string    `json:"turn,omitempty"`
	Strips     []strip   `json:"strips"`
	DoNotFeed  string    `json:"do_not_feed,omitempty"`
}

type strip struct {
	ItemID    string  `json:"item_id"`
	Stack     string  `json:"stack,omitempty"`
	WidthMm   float64 `json:"width_mm"`
	LengthM   float64 `json:"length_m"`
	NearBlade *int32  `json:"near_blade,omitempty"`
	FarBlade  *int32  `json:"far_blade,omitempty"`
}

type fillMessage struct {
	Kind    string `json:"kind"`
	Run     string `json:"run"`
	At      string `json:"at"`
	OrderID string `json:"order_id,omitempty"`
	ItemID  string `json:"item_id"`
	// Unit is that of the amounts: m, m2 or pieces.
	Unit     string   `json:"unit"`
	Made     float64  `json:"made"`
	Reserved float64  `json:"reserved"`
	Required *float64 `json:"required,omitempty"`
	Open     *float64 `json:"open,omitempty"`
}

type yieldMessage struct {
	Kind        string   `json:"kind"`
	Run         string   `json:"run"`
	At          string   `json:"at"`
	Planned     int32    `json:"planned"`
	Unconfirmed int32    `json:"unconfirmed"`
	FaceM2      float64  `json:"face_m2"`
	StripM2     float64  `json:"strip_m2"`
	EndTrimM2   float64  `json:"end_trim_m2"`
	OffcutM2    float64  `json:"offcut_m2"`
	EdgingM2    float64  `json:"edging_m2"`
	KerfM2      float64  `json:"kerf_m2"`
	OtherM2     float64  `json:"other_m2"`
	YieldRatio  *float64 `json:"yield_ratio,omitempty"`
}

type stateMessage struct {
	Kind    string `json:"kind"`
	Run     string `json:"run"`
	Running bool   `json:"running"`
	PLC     bool   `json:"plc"`
	Service bool   `json:"service"`
}

// event is an answer of the service, with the board that it is about, if any.
type event struct {
	of handover.Board
	a  *ripwrightv1.RunLineResponse
	at time.Time
}

// messages makes the messages of an answer.
func (c *Config) messages(e event) (l []message) {
	at := e.at.UTC().Format(time.RFC3339Nano)
	add := func(topic string, v any) {
		// JSON can represent every number that the service and the PLC send: boards with
		// others are declined, and plans come from the service.
		if text, err := json.Marshal(v); err == nil {
			l = append(l, message{Topic: c.Topic + "/" + topic, Retain: true, Payload: text})
		}
	}
	if p := e.a.GetPlan(); p.GetPlan() != nil {
		add("plan", c.plan(e, at))
	}
	for _, f := range e.a.GetFills() {
		m := fillMessage{Kind: "fill", Run: c.RunID, At: at, OrderID: e.a.GetOrderId(), ItemID: f.GetItemId()}
		m.Made, m.Unit = amount(f.GetMade())
		m.Reserved, _ = amount(f.GetReserved())
		m.Required, m.Open = limit(f.GetRequired()), limit(f.GetOpen())
		add("fill/"+level(m.ItemID), m)
	}
	if s := e.a.GetSummedUp().GetSummary(); s != nil {
		k := s.GetAccount()
		add("yield", yieldMessage{Kind: "yield", Run: c.RunID, At: at, Planned: s.GetPlanned(), Unconfirmed: s.GetUnconfirmed(), FaceM2: k.GetFaceM2(), StripM2: k.GetStripM2(),
			EndTrimM2: k.GetEndTrimM2(), OffcutM2: k.GetOffcutM2(), EdgingM2: k.GetEdgingM2(), KerfM2: k.GetKerfM2(), OtherM2: k.GetOtherM2(), YieldRatio: ratio(k)})
	}
	return l
}

func (c *Config) plan(e event, at string) planMessage {
	p := e.a.GetPlan()
	set := p.GetPlan().GetSetting()
	m := planMessage{Kind: "plan", Run: c.RunID, At: at, Boot: e.of.Boot, Number: e.of.Number, BoardID: p.GetBoardId(), Sequence: e.a.GetSequence(), OrderID: e.a.GetOrderId(),
		Worth: p.GetPlan().GetWorth(), YieldRatio: ratio(p.GetPlan().GetAccount()), FenceMm: set.GetFenceMm(), BladesMm: append([]float64{}, set.GetBladesMm()...),
		SkewMmPerM: set.GetSkewMmPerM(), Strips: []strip{}, DoNotFeed: p.GetDoNotFeed().GetSays()}
	if t := set.GetTurn(); t > ripwrightv1.BoardTurn_BOARD_TURN_AS_SCANNED {
		m.Turn = strings.ToLower(strings.TrimPrefix(t.String(), "BOARD_TURN_"))
	}
	for _, k := range p.GetPlan().GetPockets() {
		if k.GetItemId() != "" {
			m.Strips = append(m.Strips, strip{k.GetItemId(), k.GetStack(), k.GetWidthMm(), k.GetCountedLengthM(), k.NearBlade, k.FarBlade})
		}
	}
	return m
}

func ratio(a *ripwrightv1.Account) *float64 {
	if a == nil {
		return nil
	}
	return a.YieldRatio
}

// amount gives an amount in its unit. Absent: 0, without a unit.
func amount(a *ripwrightv1.Amount) (float64, string) {
	switch x := a.GetAmount().(type) {
	case *ripwrightv1.Amount_LengthM:
		return x.LengthM, "m"
	case *ripwrightv1.Amount_AreaM2:
		return x.AreaM2, "m2"
	case *ripwrightv1.Amount_Pieces:
		return float64(x.Pieces), "pieces"
	}
	return 0, ""
}

func limit(a *ripwrightv1.Amount) *float64 {
	if a == nil {
		return nil
	}
	v, _ := amount(a)
	return &v
}

// level makes a name into one level of a topic: characters with a meaning in topics, and
// the escape itself, are written as % and their code (RFC 3986, 2.1). A level is at most
// a third of the longest topic: the payload has the full name.
func level(name string) string {
	const hex = "0123456789ABCDEF"
	var b strings.Builder
	for i := range len(name) {
		if c := name[i]; c < ' ' || c == 0x7f || strings.IndexByte("/+#%$", c) >= 0 {
			b.WriteByte('%')
			b.WriteByte(hex[c>>4])
			b.WriteByte(hex[c&15])
			continue
		}
		b.WriteByte(name[i])
	}
	if b.Len() == 0 {
		return "%"
	}
	return b.String()
}
