package wire

import (
	"math"
	"testing"

	"github.com/ripwright/ripwright/proto/limits"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/paced"
	"github.com/ripwright/ripwright/solver/planning/arbor"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	quoting "github.com/ripwright/ripwright/solver/planning/quote"
	"github.com/ripwright/ripwright/solver/planning/replan"
	sequencing "github.com/ripwright/ripwright/solver/planning/sequence"
	"github.com/ripwright/ripwright/solver/planning/values"
	"github.com/ripwright/ripwright/solver/run"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/tally"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// The solver accepts what the schema publishes: it has separate bounds, since it does not
// know the schema.
func TestSolverTakesWhatIsPublished(t *testing.T) {
	for what, c := range map[string]struct {
		got, want limits.Range
	}{
		"across":                   {across, limits.Range{Least: -wood.MaxAcross.MM(), Most: wood.MaxAcross.MM()}},
		"position":                 {position, limits.Range{Least: -saw.MaxPosition.MM(), Most: saw.MaxPosition.MM()}},
		"leastLimit":               {leastLimit, limits.Range{Most: unit.MaxMM}},
		"mostLimit":                {mostLimit, limits.Range{Most: unit.MaxMM, Above: true}},
		"value":                    {value, limits.Range{Most: float64(saw.MaxValue) / millionths}},
		"boardLength":              {boardLength, limits.Range{Most: wood.MaxLength.MM(), Above: true}},
		"thickness":                {thickness, limits.Range{Most: wood.MaxAcross.MM(), Above: true}},
		"stations":                 {stations, limits.Range{Least: 1, Most: wood.MaxStations}},
		"alongBoard":               {alongBoard, limits.Range{Most: wood.MaxLength.MM()}},
		"defects":                  {defects, limits.Range{Most: wood.MaxDefects}},
		"defectKind":               {defectKind, limits.Range{Least: 1, Most: wood.MaxKind}},
		"kerf":                     {kerf, limits.Range{Most: saw.MaxKerf.MM()}},
		"step":                     {step, limits.Range{Least: saw.MinStep.MM(), Most: saw.MaxStep.MM()}},
		"blades":                   {blades, limits.Range{Least: 1, Most: saw.MaxBlades}},
		"settingBlades":            {settingBlades, limits.Range{Most: saw.MaxBlades}},
		"gap":                      {gap, limits.Range{Most: saw.MaxPosition.MM(), Above: true}},
		"reripWidth":               {reripWidth, limits.Range{Most: saw.MaxPosition.MM(), Above: true}},
		"skewLimit":                {skewLimit, limits.Range{Most: saw.MaxSkew.MM()}},
		"skew":                     {skew, limits.Range{Least: -saw.MaxSkew.MM(), Most: saw.MaxSkew.MM()}},
		"feed":                     {feed, limits.Range{Least: run.MinFeed, Most: run.MaxFeed}},
		"positioning":              {positioning, limits.Range{Least: run.MinPositioning, Most: run.MaxPositioning}},
		"handling":                 {handling, limits.Range{Most: run.MaxHandling}},
		"items":                    {items, limits.Range{Most: order.MaxItems}},
		"stripWidth":               {stripWidth, limits.Range{Most: order.MaxWidth.MM(), Above: true}},
		"runLength":                {runLength, limits.Range{Most: order.MaxLength.MM()}},
		"pieceLength":              {pieceLength, limits.Range{Most: order.MaxLength.MM(), Above: true}},
		"dueBoards":                {dueBoards, limits.Range{Least: 1, Most: order.MaxDue, Whole: true}},
		"tolerance":                {tolerance, limits.Range{Most: order.MaxTolerance.MM()}},
		"lengthM":                  {lengthM, limits.Range{Most: float64(order.MaxAmount) / micrometres}},
		"areaM2":                   {areaM2, limits.Range{Most: float64(order.MaxAmount) / squareMicrometres}},
		"accepted":                 {accepted, limits.Range{Most: order.MaxAccepted}},
		"cuts":                     {cuts, limits.Range{Most: order.MaxCuts}},
		"cutLength":                {cutLength, limits.Range{Least: order.MinCut.MM(), Most: order.MaxLength.MM()}},
		"endTrim":                  {endTrim, limits.Range{Most: order.MaxTrim.MM()}},
		"panelWidth":               {panelWidth, limits.Range{Most: order.MaxPanel.MM(), Above: true}},
		"joint":                    {joint, limits.Range{Most: order.MaxWidth.MM()}},
		"sawHour":                  {sawHour, limits.Range{Most: paced.MaxPricePerHour}},
		"inFlight":                 {inFlight, limits.Range{Least: 1, Most: run.MaxInFlight, Whole: true}},
		"expectedBoards":           {expectedBoards, limits.Range{Most: replan.MaxBoards}},
		"oneRun":                   {oneRun, limits.Range{Most: order.MaxLength.MM(), Above: true}},
		"plans: Lots":              {ForPlans.Lots, limits.Range{Least: 1, Most: lumber.MaxLots}},
		"plans: Kinds":             {ForPlans.Kinds, limits.Range{Least: 1, Most: lumber.MaxKinds}},
		"plans: SampleBoards":      {ForPlans.SampleBoards, limits.Range{Least: 1, Most: lumber.MaxSample, Whole: true}},
		"plans: Count":             {ForPlans.Count, limits.Range{Least: 1, Most: float64(lumber.MaxCount), Whole: true}},
		"plans: TagWidth":          {ForPlans.TagWidth, limits.Range{Most: wood.MaxAcross.MM(), Above: true}},
		"plans: Width":             {ForPlans.Width, limits.Range{Least: 1, Most: lumber.MaxWidth.MM()}},
		"plans: Deviation":         {ForPlans.Deviation, limits.Range{Most: lumber.MaxWidth.MM()}},
		"plans: Crook":             {ForPlans.Crook, limits.Range{Most: lumber.MaxCrook.MM()}},
		"plans: Taper":             {ForPlans.Taper, limits.Range{Most: lumber.MaxWidth.MM()}},
		"plans: Times":             {ForPlans.Times, limits.Range{Least: 0.01, Most: values.MostTimes}},
		"plans: Simulations":       {ForPlans.Simulations, limits.Range{Least: 1, Most: quoting.MostRuns, Whole: true}},
		"plans: MaxBoards":         {ForPlans.MaxBoards, limits.Range{Least: 1, Most: quoting.MostBoards, Whole: true}},
		"plans: ReplanEveryBoards": {ForPlans.ReplanEveryBoards, limits.Range{Most: quoting.MostBoards, Whole: true}},
		"plans: Orders":            {ForPlans.Orders, limits.Range{Least: 1, Most: arbor.MaxOrders}},
		"plans: Suggestions":       {ForPlans.Suggestions, limits.Range{Least: 1, Most: arbor.MaxSuggestions, Whole: true}},
		"plans: Settings":          {ForPlans.Settings, limits.Range{Least: 1, Most: arbor.MaxSettings, Whole: true}},
		"plans: Increment":         {ForPlans.Increment, limits.Range{Least: saw.MinStep.MM(), Most: saw.MaxPosition.MM()}},
		"plans: Blades":            {ForPlans.Blades, limits.Range{Most: saw.MaxBlades}},
		"plans: Jobs":              {ForPlans.Jobs, limits.Range{Least: 1, Most: sequencing.MaxOrders}},
		"plans: Arbors":            {ForPlans.Arbors, limits.Range{Least: 1, Most: sequencing.MaxSettings}},
		"tallies: Packs":           {ForTally.Packs, limits.Range{Least: 1, Most: tally.MaxPacks}},
		"tallies: Boards":          {ForTally.Boards, limits.Range{Most: tally.MaxBoards}},
		"tallies: Lines":           {ForTally.Lines, limits.Range{Least: 1, Most: tally.MaxBoards}},
		"tallies: PastPacks":       {ForTally.PastPacks, limits.Range{Most: tally.MaxPast}},
		"tallies: Price":           {ForTally.Price, limits.Range{Most: float64(tally.MaxPrice) / millionths}},
		"tallies: BoardFeet":       {ForTally.BoardFeet, limits.Range{Most: float64(tally.MaxBoardFeet) / millionths}},
		"tallies: SomeBoardFeet":   {ForTally.SomeBoardFeet, limits.Range{Most: float64(tally.MaxBoardFeet) / millionths, Above: true}},
		"tallies: Percent":         {ForTally.Percent, limits.Range{Most: float64(tally.MaxPercent) / millionths}},
		"tallies: Pieces":          {ForTally.Pieces, limits.Range{Most: tally.MaxPieces, Whole: true}},
		"tallies: SomePieces":      {ForTally.SomePieces, limits.Range{Least: 1, Most: tally.MaxPieces, Whole: true}},
		"tallies: Surface":         {ForTally.Surface, limits.Range{Most: tally.MaxSurface, Whole: true}},
		"plans: JobWeight":         {ForPlans.JobWeight, limits.Range{Least: 1, Most: sequencing.MaxWeight, Whole: true}},
		"a runner-up of a plan":    {whichRunUp, limits.Range{Most: runnersUp.Most - 1, Whole: true}},
		"whole numbers":            {pieces, limits.Range{Most: math.MaxInt32, Whole: true}},
	} {
		if c.got != c.want {
			t.Errorf("%s: the schema publishes %s and the solver takes %s", what, c.got, c.want)
		}
	}
}
