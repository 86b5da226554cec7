package plan

import (
	"slices"
	"strconv"
	"strings"

	"example.com/switchleg/conductor/rules"
)

// readExemptions checks the reasons against the rules.
func (m *maker) readExemptions() {
	rule := &m.region.Wiring.Neutral
	for i, e := range m.in.Exemptions {
		var words []string
		found := false
		for _, x := range rule.Exemptions {
			if !x.During.Holds(m.year()) {
				continue
			}
			words = append(words, strconv.Quote(x.Exemption.String())) // some have a comma within
			found = found || x.Exemption.String() == e.By
		}
		switch {
		case found || e.By == "":
		case len(words) == 0:
			m.problem("exemptions", i, "by", "the rules of %s have no exemption from the neutral at switches", m.region.ID)
		default:
			m.problem("exemptions", i, "by", "%q is no exemption of %s; it has %s", e.By, m.region.ID, strings.Join(words, ", "))
		}
	}
	// Of the places that see the whole area one has a neutral all the same.
	for i, c := range m.in.Controls {
		seen := 0
		for _, e := range m.in.Exemptions {
			if e.By == rules.WholeAreaSeenOnce.String() && slices.Contains(c.Places, e.Box) {
				seen++
			}
		}
		if seen > 0 && seen == len(c.Places) {
			m.problem("controls", i, "places", "every place of control %q is exempt because %s; leave one of them out", c.Name, rules.WholeAreaSeenOnce)
		}
	}
}
