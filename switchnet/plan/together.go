package plan

import (
	"fmt"
	"slices"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
)

// together says where so many conductors lie together along a run that the rules let them
// carry less than their breaker does: in one raceway, whatever circuits they are of, or in
// cables that are bundled. A plan is not searched by that, since cables can be kept apart
// and what is in a raceway led another way.
//
// All count that carry current at once, as NEC 310.15(C)(1) has it (2023): of the two
// travelers of a pair one, since a switch closes either to the one or to the other; spare
// conductors and those that are not used count too.
func (w *writer) together() {
	byRun := map[int][]int{} // the cables of each run, in their order
	var runs []int
	for i, c := range w.plan.Cables {
		if byRun[c.Run] == nil {
			runs = append(runs, c.Run)
		}
		byRun[c.Run] = append(byRun[c.Run], i)
	}
	slices.Sort(runs)
	for _, run := range runs {
		r, cables := &w.m.in.Runs[run], byRun[run]
		b := conductor.Bundle{Length: r.Length}
		for _, i := range cables {
			b.Carrying += carrying(w.plan.Cables[i].Conductors)
		}
		bundling := w.m.region.Conductor.Bundling
		row := slices.IndexFunc(bundling, func(x conductor.BundlingRow) bool {
			return b.Carrying >= x.From && (x.UpTo == 0 || b.Carrying <= x.UpTo)
		})
		if row < 0 || bundling[row].Factor >= quantity.Whole {
			continue
		}
		var less []string // what carries less, with its breaker
		for _, i := range cables {
			t := w.spec.Cables[i].Type
			ci := slices.IndexFunc(w.m.circuits, func(c circuit) bool { return w.m.in.Feeds[c.feed].Name == w.of[w.spec.Cables[i].Name] })
			if st := w.m.stores[ci]; !st.among(t, b) && st.among(t, conductor.Bundle{}) {
				if text := fmt.Sprintf("%v is not for a breaker of %v", t.Size, w.m.in.Feeds[w.m.circuits[ci].feed].Breaker); !slices.Contains(less, text) {
					less = append(less, text)
				}
			}
		}
		if len(less) == 0 {
			continue
		}
		where, cure := fmt.Sprintf("the raceway from %s to %s holds", r.From, r.To), "lead some of them another way"
		switch {
		case r.Raceway:
		case len(cables) == 1:
			where = fmt.Sprintf("the cable from %s to %s has", r.From, r.To)
		default:
			where, cure = fmt.Sprintf("the %d cables from %s to %s have together", len(cables), r.From, r.To), "keep these cables apart along the run"
			if x := w.m.region.Conductor.BundlingExempt; !x.Source.Absent() {
				cure += fmt.Sprintf(", but for %v at most", x.Length)
			}
			cure += ", or lead some of them another way"
		}
		w.plan.Notes = append(w.plan.Notes, fmt.Sprintf("%s %d conductors that count for heat, of the travelers of a pair one: among so many %s, by %v; %s",
			where, b.Carrying, joined(less), bundling[row].Source, cure))
	}
}

// carrying counts the conductors of a cable that carry current at once, spares among them.
func carrying(list []Conductor) int {
	n, travelers := 0, 0
	for _, k := range list {
		switch k.Does {
		case "ground":
		case does[roleTraveler]:
			travelers++
		default:
			n++
		}
	}
	return n + (travelers+1)/2
}
