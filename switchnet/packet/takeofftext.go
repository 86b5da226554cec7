package packet

import (
	"fmt"
	"strings"

	"example.com/switchleg/conductor/quantity"
)

// printed writes a length in a unit, rounded up to a hundredth, so that it is never
// too short.
func printed(l, unit quantity.Length) string {
	if unit <= 0 { // of a take-off that nobody counted
		return l.String()
	}
	step := unit / 100
	if rest := l % step; rest > 0 {
		l += step - rest
	}
	return l.Format(unit, 2)
}

// write prints a take-off.
func (t *TakeOff) write(p *printer) {
	p.heading("TAKE-OFF")
	for i, n := range t.Notes {
		p.wrap("note: ", n)
		if i == len(t.Notes)-1 {
			p.line("")
		}
	}
	if len(t.Cables) > 0 {
		p.line("Cable")
		rows := [][]string{}
		for _, c := range t.Cables {
			rows = append(rows, append([]string{c.Type, plural(c.Pieces, "piece"), "cut " + printed(c.Cut, t.Unit), "buy " + printed(c.Buy, t.Unit)}, costs(c.Price.String(), c.Cost.String(), c.Price.Known())...))
		}
		p.table("  ", rows)
		var said []string
		of := map[string][]string{} // types by rule
		for _, c := range t.Cables {
			if of[c.Rule] == nil {
				said = append(said, c.Rule)
			}
			of[c.Rule] = append(of[c.Rule], c.Type)
		}
		for _, rule := range said {
			lead := "Count: "
			if len(said) > 1 {
				lead = "Count of " + strings.Join(of[rule], ", ") + ": "
			}
			p.wrap("  ", lead+rule+".")
		}
		p.line("")
	}
	if len(t.Wires) > 0 {
		p.line("Wire of the loose sets, by colour")
		var rows [][]string
		for _, w := range t.Wires {
			rows = append(rows, []string{w.Name, "cut " + printed(w.Cut, t.Unit), "buy " + printed(w.Buy, t.Unit)})
		}
		p.table("  ", rows)
		p.line("")
	}
	if len(t.Cuts) > 0 {
		p.line("To cut")
		rows := [][]string{}
		for _, c := range t.Cuts {
			sum := "length not known"
			switch {
			case c.Run > 0 && c.From+c.To == 0:
				sum = printed(c.Length, t.Unit) + ", nothing added"
			case c.Run > 0:
				sum = fmt.Sprintf("%s and %s + %s at the ends: %s", printed(c.Run, t.Unit), c.From, c.To, printed(c.Length, t.Unit))
			}
			if c.InPlace {
				sum = "in place"
			}
			rows = append(rows, []string{c.Cable, c.Type, sum})
		}
		p.table("  ", rows)
	}
	for i := 0; i < len(t.Items); {
		kind, rules := t.Items[i].Kind, map[string]bool{}
		rows, says := [][]string{}, []string{}
		for ; i < len(t.Items) && t.Items[i].Kind == kind; i++ {
			item := &t.Items[i]
			rows = append(rows, append([]string{fmt.Sprint(item.Count), item.Name}, costs(item.Price.String(), item.Cost.String(), item.Price > 0)...))
			if !rules[item.Rule] {
				rules[item.Rule] = true
				says = append(says, item.Rule)
			}
		}
		p.line("")
		p.line("%s", many[kind])
		p.table("  ", rows)
		for _, s := range says {
			p.wrap("  ", "Count: "+s+".")
		}
	}
	if t.Cost > 0 || t.Effort > 0 {
		p.line("")
		p.wrap("", fmt.Sprintf("Cost of what has a price in the stock: %s; labor of what has a figure for it: %s. Lines without a price: %d.", t.Cost, t.Effort, t.Unpriced))
	}
}

// costs are the last columns of a line.
func costs(price, cost string, known bool) []string {
	if !known {
		return []string{""}
	}
	return []string{"at " + price + ": " + cost}
}

// many are the headings of the kinds.
var many = map[ItemKind]string{BoxItem: "Boxes", AdditionItem: "Rings and covers", BarrierItem: "Barriers", BreakerItem: "Breakers",
	HandleTieItem: "Handle ties", LightItem: "Lights", DeviceItem: "Devices", PlateItem: "Plates and covers", ConnectorItem: "Wire connectors, by what they join",
	PigtailItem: "Pigtails", JumperItem: "Jumpers", FittingItem: "Cable connectors", SupportItem: "Supports", NailPlateItem: "Nail plates", TagItem: "Wire tags", MarkItem: "Markings"}
