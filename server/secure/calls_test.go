package secure

import (
	"slices"
	"testing"
)

// The scopes of calls, independent of the schema: a slip there opens a call.
func TestScopesOfCalls(t *testing.T) {
	for method, want := range map[string][]Scope{
		"/ripwright.v1.RipService/SolveBoard":                            {Line, Office},
		"/ripwright.v1.RipService/CheckPlan":                             {Line, Office},
		"/ripwright.v1.RipService/DrawPlan":                              {Line, Office},
		"/ripwright.v1.RipService/RunLine":                               {Line},
		"/ripwright.v1.RipService/ConfirmCut":                            {Line},
		"/ripwright.v1.PlanningService/PlanValues":                       {Office},
		"/ripwright.v1.PlanningService/QuoteOrder":                       {Office},
		"/ripwright.v1.PlanningService/WatchQuote":                       {Office},
		"/ripwright.v1.PlanningService/PlanArbor":                        {Office},
		"/ripwright.v1.PlanningService/SequenceOrders":                   {Office},
		"/ripwright.v1.PlanningService/ShareOrder":                       {Line, Office},
		"/ripwright.v1.TallyService/TallyPack":                           {Office},
		"/ripwright.v1.InfoService/GetServerInfo":                        {Line, Office, Read},
		"/ripwright.v1.InfoService/ListSaws":                             {Line, Office, Read},
		"/grpc.reflection.v1.ServerReflection/ServerReflectionInfo":      {Line, Office, Read},
		"/grpc.health.v1.Health/Check":                                   nil,
		"/ripwright.v1.RipService/NoSuchCall":                            {Office},
		"ripwright.v1.RipService/RunLine":                                {Office},
		"/grpc.reflection.v1alpha.ServerReflection/ServerReflectionInfo": {Line, Office, Read},
		"": {Office},
	} {
		if got := Needs(method); !slices.Equal(got, want) {
			t.Errorf("%s needs one of %v, want %v", method, got, want)
		}
	}
	// A new call must be added here too.
	if len(ofSchema) != 14 {
		t.Errorf("the schema has %d calls", len(ofSchema))
	}
}
