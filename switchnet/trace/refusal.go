package trace

import (
	"fmt"
	"strings"
)

// A Refusal is a test that would be made if it were not for a rule.
type Refusal struct {
	Rule Rule
	// What is refused, in words.
	What string
	// Because is the remaining class that would make it a bolted fault.
	Because Class
}

// String returns what is refused and why. The text is for reading and not stable.
func (r Refusal) String() string {
	if r.Rule == BoltedFault {
		return fmt.Sprintf("%s: refused: it would be a bolted fault if %s", r.What, r.Because.Causes[0])
	}
	return r.What + ": refused: " + r.Rule.String()
}

// SayRefused returns refusals in words, one line for all that the same class stands in
// the way of, in the order of the first of each. The lines are for reading and not stable.
func SayRefused(all []Refusal) []string {
	var out []string
	for len(all) > 0 {
		first := all[0]
		because := first.Because.String()
		what := []string{first.What}
		rest := all[:0:0]
		for _, r := range all[1:] {
			if r.Rule == first.Rule && r.Because.String() == because {
				what = append(what, r.What)
			} else {
				rest = append(rest, r)
			}
		}
		text := first.String()
		if len(what) > 1 {
			text = strings.Join(what, ", ") + strings.TrimPrefix(text, first.What)
		}
		out = append(out, text)
		all = rest
	}
	return out
}
