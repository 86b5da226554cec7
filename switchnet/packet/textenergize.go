package packet

import "strings"

// energizing writes the checklist.
func (p *printer) energizing(v *Proving) {
	p.heading("ENERGIZING CHECKLIST")
	steps := func(title string, steps ...string) {
		p.line("")
		p.line("%s", title)
		for _, s := range steps {
			p.wrap("  [ ] ", s)
		}
	}
	tests := func(all []Expected) {
		for _, e := range all {
			p.hang("  [ ] ", e.Between+": "+e.Expect, 6)
		}
	}
	steps("1. Before any test",
		"Every circuit of the boxes locked out and tagged, by: ____________",
		"Tester proven on a known live source, every conductor found dead, tester proven again, by: ____________",
		"Lamps out; dimmers, sensors, pilot-lit switches and other electronics off their wires, which are kept apart: an ohmmeter does not see through them.",
		"The service conductors and bars of a panel stay live with every breaker off. A neutral comes off its bar only with every circuit in the panel locked out and proven dead.")
	steps("2. Dead tests, at the feed")
	p.wrap("", "The expected values are computed from the drawing, lamps out. Ohmmeter zeroed on its own leads; a long lead reaches the other box. A value other than the expected one: stop, and find out why.")
	for _, c := range v.Energizing {
		p.line("%s in %s, dead", c.Feed, c.Box)
		tests(c.Dead)
		if len(c.Lift) > 0 {
			p.wrap("  ", "Its neutral is one metal with that of "+strings.Join(c.Lift, ", ")+": take all of them off the bar for the neutral to ground test.")
		}
	}
	steps("3. Before the first breaker",
		"Every neutral back on its bar, every loose end capped, all boxes closed, leads and tools out, lamps and electronics in.",
		"Qualified person who does the live steps: ____________",
		"Protective equipment against shock and arc, as the site's assessment of the risk asks, worn; nobody else in reach.",
		"Meter and leads of measurement category III or higher, category IV at the service, for the volts below or more.")
	steps("4. Live tests")
	p.wrap("", "One breaker at a time, standing aside. Should one trip: leave it off, lock out, go back to the dead tests. Never reset it to learn more.")
	for _, c := range v.Energizing {
		p.line("%s, %s, at %s, live", c.Feed, c.Breaker, c.Box)
		tests(c.Live)
	}
	p.line("  [ ] Each added protection works by its own test button.")
}
