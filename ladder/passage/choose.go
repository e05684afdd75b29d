package passage

import (
	"fmt"
	"strings"
)

// Called is the part's name on one line, its id where it has none.
func (p *Part) Called() string {
	if name := strings.Join(strings.Fields(p.Name), " "); name != "" {
		return name
	}
	return p.ID
}

// PartNamed is the part of that id or name, letters large or small; without a
// name the only part there is. The error has the form "what; what would be right".
func (s *Score) PartNamed(name string) (*Part, error) {
	var found []*Part
	names := make([]string, 0, len(s.Parts))
	for i := range s.Parts {
		p := &s.Parts[i]
		if name != "" && p.ID == name {
			return p, nil
		}
		if name == "" || strings.EqualFold(p.Called(), name) {
			found = append(found, p)
		}
		if len(names) < 8 {
			names = append(names, fmt.Sprintf("%q (%s)", p.Called(), p.ID))
		}
	}
	list := strings.Join(names, ", ")
	if len(names) < len(s.Parts) {
		list += ", …"
	}
	switch {
	case len(found) == 1:
		return found[0], nil
	case len(s.Parts) == 0:
		return nil, fmt.Errorf("the score has no parts; write another")
	case name == "":
		return nil, fmt.Errorf("the score has %d parts; name one: %s", len(s.Parts), list)
	case len(found) > 1:
		return nil, fmt.Errorf("%d parts are named %q; write an id: %s", len(found), name, list)
	}
	return nil, fmt.Errorf("no part is named %q; the parts are %s", name, list)
}
