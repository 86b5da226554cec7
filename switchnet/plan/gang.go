package plan

import "example.com/switchleg/switchnet/wiring"

// stand says in which gang of its box each switch stands, where the box has several. Those
// that stood in the box before stay where they were; the others take the free gangs from
// the left, in the order of the list.
func stand(s *wiring.Spec, before []wiring.Device) {
	type name struct{ box, device string }
	was := map[name]int{}
	for _, d := range before {
		was[name{d.Box, d.Name}] = d.Gang
	}
	gangs, here := map[string]int{}, map[string][]int{}
	for i := range s.Boxes {
		gangs[s.Boxes[i].Name] = s.Boxes[i].Gangs
	}
	for i := range s.Devices {
		here[s.Devices[i].Box] = append(here[s.Devices[i].Box], i)
	}
	for box, list := range here {
		room := max(gangs[box], len(list))
		if room < 2 {
			continue
		}
		taken := make([]bool, room+1)
		for _, i := range list {
			d := &s.Devices[i]
			d.Gang = was[name{box, d.Name}]
			if d.Gang > room || taken[d.Gang] {
				d.Gang = 0
			}
			taken[d.Gang] = d.Gang > 0
		}
		next := 1
		for _, i := range list {
			if d := &s.Devices[i]; d.Gang == 0 {
				for taken[next] {
					next++
				}
				d.Gang, taken[next] = next, true
			}
		}
	}
}
