package pattern

import "fmt"

// checkGroup says whether so many notes to a beat are known.
func (p Pattern) checkGroup() error {
	switch p.Group {
	case 0, 2, 3, 4, 6:
		return nil
	}
	return &Error{InGroup, fmt.Sprintf("%d notes to a beat are not known", p.Group), "write 2, 3, 4 or 6"}
}
