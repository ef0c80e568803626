package opcua

import (
	"errors"
	"io"
	"testing"

	"github.com/gopcua/opcua"
	"github.com/gopcua/opcua/ua"

	"github.com/ripwright/ripwright/clients/wherry/internal/contract"
)

// Without an answer from the PLC, a unit is not taken to be absent: the word would be
// scaled by the configured one. Only the statuses of OPC 10000-4 for a node or attribute
// that is not there say that it is.
func TestUnitWithoutAnswer(t *testing.T) {
	c, err := opcua.NewClient("opc.tcp://127.0.0.1:4840")
	if err != nil {
		t.Fatal(err)
	}
	w := &word{Word: named(t, contract.BoardLength), node: ua.NewStringNodeID(2, "length"), unit: 25.4}
	if err := (&PLC{client: c}).units(t.Context(), w); err == nil {
		t.Errorf("%+v", w)
	}
	for err, want := range map[error]bool{
		ua.StatusBadNoMatch: true, ua.StatusBadNodeIDUnknown: true, ua.StatusBadAttributeIDInvalid: true,
		ua.StatusBadTimeout: false, ua.StatusBadConnectionClosed: false, ua.StatusBadUserAccessDenied: false,
		ua.StatusBadServiceUnsupported: false, io.EOF: false, errors.ErrUnsupported: false,
	} {
		if absent(err) != want {
			t.Errorf("%v: absent %v", err, !want)
		}
	}
}
