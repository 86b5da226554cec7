package packet

import (
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
)

// WireTotal is the wire of one size, insulation and colour in the loose sets of a job. It
// is bought by the colour, while Cables has each set as the job names it: the length of
// these wires is that of the sets, said once more, and no cost is in both.
type WireTotal struct {
	Name string `json:"name"` // "12 AWG copper 90 C, white"
	// Jobs is, in a sum, in how many of the jobs it is.
	Jobs int `json:"jobs,omitzero"`
	// Cut is the sum of the lengths to cut, Buy the same with waste.
	Cut quantity.Length `json:"cut"`
	Buy quantity.Length `json:"buy"`
}

// wireRule says in a table where the figure is from.
const wireRule = "the wire of the loose sets among the cables, by colour; the cost stands at the sets"

// wires adds the conductors of a loose set to those of their size, insulation and colour.
func (t *taker) wires(c *conductor.CableType, cut quantity.Length) error {
	if c.Construction != conductor.Loose || cut == 0 {
		return nil
	}
	for _, core := range c.Cores {
		name := fmt.Sprintf("%s %s %s, %s", core.Size, c.Material, c.Rating, core.Colour)
		i := slices.IndexFunc(t.out.Wires, func(w WireTotal) bool { return w.Name == name })
		if i < 0 {
			i = len(t.out.Wires)
			t.out.Wires = append(t.out.Wires, WireTotal{Name: name})
		}
		if !add(&t.out.Wires[i].Cut, cut) {
			return fmt.Errorf("more wire of %s than can be added up", name)
		}
	}
	return nil
}

// buyWires adds the waste and puts the wires in order.
func (t *taker) buyWires() error {
	for i := range t.out.Wires {
		w := &t.out.Wires[i]
		var ok bool
		if w.Buy, ok = wasted(w.Cut, t.opt.Waste); !ok {
			return fmt.Errorf("more wire of %s than can be added up", w.Name)
		}
	}
	slices.SortFunc(t.out.Wires, compareWires)
	return nil
}

func compareWires(a, b WireTotal) int { return strings.Compare(a.Name, b.Name) }
