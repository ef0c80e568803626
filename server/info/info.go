// Package info describes the service: its release, the limits of the fields of requests,
// and the saws that callers can name.
package info

import (
	"context"
	"encoding/base64"
	"sort"
	"sync"

	"github.com/ripwright/ripwright/proto/features"
	"github.com/ripwright/ripwright/proto/limits"
	"github.com/ripwright/ripwright/proto/release"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/refuse"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/fault"
)

// Saws has the saws of the saw file. They must not be changed.
type Saws interface {
	wire.Saws
	Messages() []*ripwrightv1.Saw // in order of their names
}

// Service implements ripwright.v1.InfoService. It may be used by any number of
// goroutines.
type Service struct {
	ripwrightv1.UnimplementedInfoServiceServer

	saws   Saws
	answer *ripwrightv1.GetServerInfoResponse

	mu     sync.Mutex
	listed map[*wire.Machine]*ripwrightv1.ListedSaw // fingerprints take time to compute
}

// preview are the calls that the next release may change: those that this release
// introduces.
var preview = []string{"ripwright.v1.InfoService/GetServerInfo", "ripwright.v1.InfoService/ListSaws"}

// New makes a service whose requests have at most that many bytes.
func New(saws Saws, maxRequest int) *Service {
	a := &ripwrightv1.GetServerInfoResponse{Release: release.Of().Version, PreviewCalls: preview,
		MaxRequestBytes: int32(maxRequest), MaxStateBytes: int32(wire.MaxState)}
	for _, f := range features.All {
		a.Features = append(a.Features, f.Name)
	}
	for _, l := range limits.All {
		a.Limits = append(a.Limits, &ripwrightv1.FieldLimit{Message: l.Message, Field: l.Field, Kind: kinds[l.Counts],
			Min: l.Range.Least, Max: l.Range.Most, AboveMin: l.Range.Above, Whole: l.Range.Whole})
	}
	return &Service{saws: saws, answer: a}
}

var kinds = map[limits.Counted]ripwrightv1.LimitKind{
	limits.Numbers:    ripwrightv1.LimitKind_LIMIT_KIND_NUMBER,
	limits.Characters: ripwrightv1.LimitKind_LIMIT_KIND_CHARACTERS,
	limits.Entries:    ripwrightv1.LimitKind_LIMIT_KIND_ENTRIES,
}

// GetServerInfo implements the call of that name.
func (s *Service) GetServerInfo(context.Context, *ripwrightv1.GetServerInfoRequest) (*ripwrightv1.GetServerInfoResponse, error) {
	return s.answer, nil
}

// usualPage is how many saws a page has unless the caller asks for another number.
const usualPage = 20

// ListSaws implements the call of that name. A page begins after the name in its token,
// so that saws added or removed between two pages shift no others.
func (s *Service) ListSaws(_ context.Context, m *ripwrightv1.ListSawsRequest) (*ripwrightv1.ListSawsResponse, error) {
	var p wire.Parts
	size := p.Count("page_size", m.PageSize, usualPage, wire.PageSize)
	after, err := base64.RawURLEncoding.DecodeString(m.GetPageToken())
	if p.Text("page_token", m.GetPageToken(), wire.PageToken) && err != nil {
		p.Because(fault.WrongTurn, "page_token", "is not the next_page_token of an answer")
	}
	if err := p.Err(nil); err != nil {
		return nil, refuse.Error(err)
	}
	all := s.saws.Messages()
	from := sort.Search(len(all), func(i int) bool { return all[i].GetName() > string(after) })
	out := &ripwrightv1.ListSawsResponse{}
	for _, m := range all[from:min(from+size, len(all))] {
		saw, ok := s.saws.Find(m.GetName())
		if !ok {
			continue // the file was read again just now
		}
		out.Saws = append(out.Saws, s.list(saw, len(all)))
	}
	if from+size < len(all) {
		out.NextPageToken = base64.RawURLEncoding.EncodeToString([]byte(all[from+size-1].GetName()))
	}
	return out, nil
}

// list gives a saw as it is listed; all is how many are in service.
func (s *Service) list(saw *wire.Machine, all int) *ripwrightv1.ListedSaw {
	s.mu.Lock()
	defer s.mu.Unlock()
	l := s.listed[saw]
	if l == nil {
		if len(s.listed) >= all { // some of them are no longer in service
			s.listed = nil
		}
		if s.listed == nil {
			s.listed = map[*wire.Machine]*ripwrightv1.ListedSaw{}
		}
		l = &ripwrightv1.ListedSaw{Saw: saw.Message, ArborFingerprint: saw.ArborFingerprint(), SawFingerprint: saw.Whole()}
		s.listed[saw] = l
	}
	return l
}
