package draw

import (
	"fmt"
	"strings"

	"example.com/switchleg/internal/cautions"
	"example.com/switchleg/switchnet/wiring"
)

// describe says in sentences where everything goes.
func (s *boxSheet) describe() string {
	var b strings.Builder
	fmt.Fprintf(&b, "Box %s: where each conductor ends.", clean(s.name))
	for _, c := range s.cables {
		fmt.Fprintf(&b, " Cable %s, %s, %s.", clean(c.name), clean(c.kind), toward(c.toward))
	}
	for _, bl := range s.blocks {
		b.WriteString(" " + clean(bl.head))
		for _, t := range bl.says {
			b.WriteString(", " + strings.TrimSuffix(clean(t), "."))
		}
		for i, r := range bl.rows {
			sep := "; "
			if i == 0 {
				sep = ": "
			}
			b.WriteString(sep + clean(strings.TrimSpace(r.strong+" "+r.text)))
			if r.wire >= 0 && s.ends[r.wire].tag != "" {
				b.WriteString(" tagged " + clip(clean(s.ends[r.wire].tag), tagLimit))
			}
		}
		b.WriteString(".")
	}
	for _, n := range s.notes {
		b.WriteString(" " + clean(n))
	}
	if s.has.box.Kind == wiring.Panel {
		b.WriteString(" " + panelDanger)
	}
	return b.String() + " " + cautions.Brief()
}

// panelDanger stands on the picture of a panel, where the breakers of the circuits do
// not make everything dead.
const panelDanger = "DANGER: the service conductors, what they land on and the bars behind the breakers stay live with every breaker in this panel off."

func toward(box string) string {
	if box == "" {
		return "its far end not known"
	}
	return "other end in " + clean(box)
}
