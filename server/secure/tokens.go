package secure

import (
	"crypto/sha256"
	"crypto/subtle"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync/atomic"

	"github.com/goccy/go-yaml"

	"github.com/ripwright/ripwright/server/textfile"
)

// Scope is what a token allows.
type Scope string

// The scopes.
const (
	Line   Scope = "line"   // boards: solve, check, draw, the live line
	Office Scope = "office" // planning, tallies, and boards except the live line
	Read   Scope = "read"   // metrics
)

// mostFile bounds each file in bytes. Some thousand tokens fit, and any chain of
// certificates.
const mostFile = 1 << 20

// Bounds on a token. Tokens should be random characters.
const (
	leastToken = 20
	mostToken  = 512
)

// Tokens are the accepted bearer tokens. Only a hash of each is kept.
type Tokens struct {
	file string
	now  atomic.Pointer[[]token]
}

type token struct {
	name   string
	hash   [sha256.Size]byte
	scopes []Scope
}

// LoadTokens reads a YAML or JSON list of tokens, each with a name, the token
// and its scopes.
func LoadTokens(file string) (*Tokens, error) {
	t := &Tokens{file: file}
	if err := t.Reload(); err != nil {
		return nil, err
	}
	return t, nil
}

// Reload reads the file again. After an error the old tokens stay. No error quotes a
// token.
func (t *Tokens) Reload() error {
	raw, err := textfile.Read(t.file, mostFile)
	if err != nil {
		return fmt.Errorf("tokens: %w", err)
	}
	all, err := parseTokens(raw)
	if err != nil {
		return fmt.Errorf("tokens: %s: %w", t.file, err)
	}
	t.now.Store(&all)
	return nil
}

func parseTokens(raw []byte) ([]token, error) {
	var list []struct {
		Name   string   `yaml:"name"`
		Token  string   `yaml:"token"`
		Scopes []string `yaml:"scopes"`
	}
	if err := textfile.YAML(raw); err != nil {
		return nil, err
	}
	if err := yaml.UnmarshalWithOptions(raw, &list, yaml.Strict()); err != nil {
		// The library quotes the lines around a mistake, including tokens.
		var wrong yaml.Error
		if errors.As(err, &wrong) && wrong.GetToken() != nil {
			return nil, fmt.Errorf("line %d: is not a list of name, token and scopes", wrong.GetToken().Position.Line)
		}
		return nil, errors.New("is not a list of name, token and scopes")
	}
	if len(list) == 0 {
		return nil, errors.New("is empty; give at least one token")
	}
	all := make([]token, len(list))
	for i, e := range list {
		at := fmt.Sprintf("[%d]", i)
		if e.Name == "" {
			return nil, fmt.Errorf("%s.name: is empty; give every token a name", at)
		}
		if n := len(e.Token); n < leastToken || n > mostToken || strings.ContainsAny(e.Token, " \t\r\n") {
			return nil, fmt.Errorf("%s.token: must be %d to %d characters without spaces", at, leastToken, mostToken)
		}
		all[i] = token{name: e.Name, hash: sha256.Sum256([]byte(e.Token))}
		if len(e.Scopes) == 0 {
			return nil, fmt.Errorf("%s.scopes: is empty; give line, office or read", at)
		}
		for k, s := range e.Scopes {
			if !slices.Contains([]Scope{Line, Office, Read}, Scope(s)) {
				return nil, fmt.Errorf("%s.scopes[%d]: is %q; must be line, office or read", at, k, s)
			}
			all[i].scopes = append(all[i].scopes, Scope(s))
		}
		for k := range i {
			if all[k].hash == all[i].hash {
				return nil, fmt.Errorf("%s.token: is the same as that of [%d]", at, k)
			}
		}
	}
	return all, nil
}

// Why a caller is refused.
var (
	ErrNoToken    = errors.New("a bearer token is needed: send the header Authorization: Bearer <token>")
	ErrWrongToken = errors.New("the bearer token is unknown")
	ErrScope      = errors.New("the bearer token does not allow this call")
)

// Allow checks an Authorization header against what a call needs: any one of the scopes.
// All tokens are compared, each in constant time, so that the time taken reveals nothing
// about them.
func (t *Tokens) Allow(header string, oneOf ...Scope) error {
	found, err := t.find(header)
	switch {
	case err != nil:
		return err
	case !slices.ContainsFunc(oneOf, func(s Scope) bool { return slices.Contains(found.scopes, s) }):
		return ErrScope
	}
	return nil
}

// Name gives the name of the token in an Authorization header; empty: it holds none that
// is accepted. A nil Tokens accepts none.
func (t *Tokens) Name(header string) string {
	if t == nil {
		return ""
	}
	found, err := t.find(header)
	if err != nil {
		return ""
	}
	return found.name
}

func (t *Tokens) find(header string) (found *token, err error) {
	kind, given, ok := strings.Cut(header, " ")
	if !ok || !strings.EqualFold(kind, "Bearer") || given == "" {
		return nil, ErrNoToken
	}
	hash := sha256.Sum256([]byte(given))
	all := *t.now.Load()
	for i := range all {
		if subtle.ConstantTimeCompare(hash[:], all[i].hash[:]) == 1 {
			found = &all[i]
		}
	}
	if found == nil {
		return nil, ErrWrongToken
	}
	return found, nil
}
