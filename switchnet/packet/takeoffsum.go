package packet

import (
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/conductor/quantity"
)

// SumTakeOffs adds up the take-offs of jobs that were counted under the rules and by
// the stock of one region, with one factor for waste: lines of one type of cable, and
// of one kind and name, become one that says in how many jobs it is. Costs are the
// sums of the jobs' costs, the unit is the largest of theirs, and there are no cuts
// and no notes. The error is that of a sum that no number holds. It takes time linear
// in the lines but for sorting, and depends on no order.
func SumTakeOffs(jobs []*TakeOff) (*TakeOff, error) {
	out := &TakeOff{Unit: quantity.Foot, Cables: []CableTotal{}, Cuts: []Cut{}, Items: []Item{}, Notes: []string{}}
	cables, items := map[string]*CableTotal{}, map[itemKey]*Item{}
	wires := map[string]*WireTotal{}
	for i, t := range jobs {
		if t == nil {
			return nil, fmt.Errorf("packet: take-off %d of %d is none; NewTakeOff makes one", i+1, len(jobs))
		}
		out.Waste, out.Unit = max(out.Waste, t.Waste), max(out.Unit, t.Unit)
		for _, c := range t.Cables {
			l := cables[c.Type]
			if l == nil {
				l = &CableTotal{Type: c.Type, Rule: c.Rule, Price: c.Price, Labor: c.Labor}
				cables[c.Type] = l
			}
			l.Pieces += c.Pieces
			l.Unknown += c.Unknown
			l.Jobs++
			if !add(&l.Cut, c.Cut) || !add(&l.Buy, c.Buy) || !add(&l.Cost, c.Cost) || !add(&l.Effort, c.Effort) {
				return nil, errCost
			}
		}
		for _, w := range t.Wires {
			l := wires[w.Name]
			if l == nil {
				l = &WireTotal{Name: w.Name}
				wires[w.Name] = l
			}
			l.Jobs++
			if !add(&l.Cut, w.Cut) || !add(&l.Buy, w.Buy) {
				return nil, errCost
			}
		}
		for _, i := range t.Items {
			key := itemKey{i.Kind, i.Name}
			l := items[key]
			if l == nil {
				l = &Item{Kind: i.Kind, Name: i.Name, Gangs: i.Gangs, Joined: i.Joined, Size: i.Size, Rule: i.Rule, Price: i.Price, Labor: i.Labor}
				items[key] = l
			}
			l.Count += i.Count
			l.Jobs++
			if !add(&l.Cost, i.Cost) || !add(&l.Effort, i.Effort) {
				return nil, errCost
			}
		}
		if !add(&out.Cost, t.Cost) || !add(&out.Effort, t.Effort) {
			return nil, errCost
		}
	}
	for _, c := range cables {
		out.Cables = append(out.Cables, *c)
		if !c.Price.Known() {
			out.Unpriced++
		}
	}
	for _, w := range wires {
		out.Wires = append(out.Wires, *w)
	}
	slices.SortFunc(out.Wires, compareWires)
	for _, i := range items {
		out.Items = append(out.Items, *i)
		if i.Price == 0 {
			out.Unpriced++
		}
	}
	slices.SortFunc(out.Cables, func(a, b CableTotal) int { return strings.Compare(a.Type, b.Type) })
	slices.SortFunc(out.Items, compareItems)
	return out, nil
}
