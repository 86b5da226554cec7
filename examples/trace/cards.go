package main

import (
	"context"
	"fmt"
	"io"
	"strings"
	"time"

	"example.com/switchleg/internal/cautions"
	"example.com/switchleg/internal/program"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/trace/lines"
)

// printWalk prints the proving walk.
func (c *call) printWalk(ctx context.Context, b *bench, out io.Writer) error {
	var m program.Mistakes
	opt := &trace.WalkOptions{}
	for _, t := range c.start {
		s, err := b.v.Seen(t)
		if err != nil {
			m.Add("start", "%v", err)
		}
		opt.Start = append(opt.Start, s)
	}
	if c.from != "" {
		box, err := b.v.Box(c.from)
		if err != nil {
			m.Add("from", "%v", err)
		}
		opt.From = box
	}
	if err := m.Err(); err != nil {
		return err
	}
	defer program.Patience(c.errs, "looking for the shortest walk")()
	var err error
	if opt.Also, err = trace.Touching(ctx, b.c.Wiring()); err != nil {
		return err
	}
	w, err := b.c.Walk(ctx, opt)
	if err != nil {
		return err
	}
	proof, err := b.c.Prove(ctx)
	if err != nil {
		return err
	}
	if c.asJSON {
		return program.WriteJSON(out, walkOf(b, &w, &proof))
	}
	fmt.Fprintf(out, "%s: the proving walk\n\n", b.title)
	fmt.Fprint(out, `With the circuit energized, every box closed, after it was rung out dead: what this
exposes may be a bolted fault. If the breaker opens once, stop, lock out, test dead.
`)
	fmt.Fprintf(out, "\n%s, about %s", count(len(w.Flips), "flip"), duration(w.Effort))
	if w.Shortest {
		fmt.Fprint(out, "; no walk with fewer shows as much")
	} else {
		fmt.Fprint(out, "; there may be a shorter one")
	}
	fmt.Fprintln(out, ".")
	if len(opt.Start) > 0 {
		fmt.Fprintf(out, "Begin where this is seen: %s.\n", glows(opt.Start))
	} else {
		fmt.Fprintln(out, "Begin wherever the handles stand, and see what every light does.")
	}
	fmt.Fprintln(out, "Each flip must change the lights that its switch controls, all of them fully, and no other.")
	wrap(out, "", "It shows every single fault that a light or the breaker betrays, and where two conductors touch along their runs.")
	if n := len(w.Hidden); n > 0 {
		first := strings.TrimSuffix(w.Hidden[0], " along their runs")
		if n > 1 {
			first = fmt.Sprintf("%s, or %s", first, count(n-1, "other pair"))
		}
		wrap(out, "", fmt.Sprintf("No flip shows where %s: only testing each conductor to every other does, locked out, proven dead and with nothing fitted.", first))
	}
	fmt.Fprintln(out)
	for i, f := range w.Flips {
		fmt.Fprintf(out, "  [ ] %2d  in %s, flip %s\n", i+1, f.Place, f.Name)
	}
	if len(w.Unseen) == 0 {
		return caution(out)
	}
	n := 0
	for i := range w.Unseen {
		n += len(w.Unseen[i].Causes)
	}
	fmt.Fprintf(out, "\nNo flip shows %s. These readings do, about %s", count(n, "fault"), duration(proof.Effort))
	if proof.Fewest {
		fmt.Fprint(out, "; no fewer do")
	}
	fmt.Fprint(out, `.
First switch off every circuit that enters these boxes and the panel, lock out and tag
each breaker; open each box and prove it dead with a tester proven on a known live source
before and after.

`)
	lifted := false
	var wide [2]int
	for _, k := range proof.Checks {
		for i := range wide {
			wide[i] = max(wide[i], len(lines.Point(k.Test.Between[i])))
		}
	}
	for i, k := range proof.Checks {
		t := k.Test
		if t.Lifted && !lifted {
			lifted = true
			fmt.Fprintln(out)
			wrap(out, "  ", trace.Action{Do: trace.LiftNeutrals}.Step())
			fmt.Fprintln(out)
		}
		k.Test.Lifted = false // it is said above
		fmt.Fprintf(out, "  [ ] %2d  %-*s  %-*s  %s\n", i+1, wide[0], lines.Point(t.Between[0]), wide[1], lines.Point(t.Between[1]), wants(k))
	}
	if len(proof.Checks) > 0 {
		fmt.Fprintln(out)
		if lifted {
			wrap(out, "  ", trace.Action{Do: trace.LandNeutrals}.Step())
		}
		wrap(out, "  ", trace.Action{Do: trace.Energize}.Step())
	}
	if len(proof.Hidden) > 0 {
		fmt.Fprintln(out, "\nNo reading of the sort shows:")
		for i := range proof.Hidden {
			h := &proof.Hidden[i]
			fmt.Fprintf(out, "  %s%s\n", h.Causes[0], alike(len(h.Causes)))
		}
	}
	return caution(out)
}

// wants says what a reading gives in a sound job.
func wants(k trace.Check) string {
	lifted := ""
	if k.Test.Lifted {
		lifted = ", the neutrals of the panel off their bar"
	}
	if len(k.Wants) == 0 {
		return k.Want.String() + lifted
	}
	var pairs []string
	for _, p := range k.Wants {
		pairs = append(pairs, fmt.Sprintf("%v then %v", p[0], p[1]))
	}
	return fmt.Sprintf("twice, the handle of %s moved between: %s%s", lines.Ref(k.Both), strings.Join(pairs, ", or "), lifted)
}

// printRingOut prints the ring-out list.
func (c *call) printRingOut(ctx context.Context, out io.Writer) error {
	j, w, err := c.wired(ctx)
	if err != nil {
		return err
	}
	r, err := trace.RingOutOf(ctx, w)
	if err != nil {
		return err
	}
	if c.asJSON {
		return program.WriteJSON(out, ringOutOf(j.Title, &r))
	}
	fmt.Fprintf(out, "%s: the ring-out list\n\n", j.Title)
	fmt.Fprintln(out, `Before any device is fitted and before the supply is connected: everything spliced,
every other end apart. Prove dead all the same; zero the leads first.`)
	fmt.Fprintln(out)
	for i, g := range r.Rings {
		fmt.Fprintf(out, "  [ ] %3d  %-28s %-28s %-7s finds %s\n", i+1, lines.Point(g.Between[0]), lines.Point(g.Between[1]), g.Want, count(len(g.Exposes), "fault"))
	}
	if len(r.Hidden) > 0 {
		fmt.Fprintf(out, "\nNo such test finds %s, among them:\n", count(len(r.Hidden), "fault"))
		for _, f := range r.Hidden[:min(len(r.Hidden), 10)] {
			fmt.Fprintf(out, "  %s\n", strings.TrimSpace(f.Says))
		}
	}
	return caution(out)
}

// cardTests is how many tests a card has at most: what a person can carry.
const cardTests = 600

// printStrategy prints every test and every answer from where the session is to the cause.
func (d *desk) printStrategy(ctx context.Context, asJSON bool, out io.Writer) error {
	slow := time.AfterFunc(time.Second, func() { fmt.Fprintln(d.errs, "working out every test of the card ...") })
	defer slow.Stop()
	s, pairs, err := d.over(ctx)
	if err != nil {
		return err
	}
	p, err := s.Strategy(ctx, &trace.StrategyOptions{Tests: cardTests})
	if err != nil {
		return err
	}
	if asJSON {
		root, err := d.branchOf(p.Root)
		if err != nil {
			return err
		}
		return program.WriteJSON(out, StrategyState{Job: d.title, Tests: p.Tests, MostTests: p.MostTests, MostSeconds: int(p.MostEffort.Seconds()),
			LeftOut: p.LeftOut, LeftOutShare: p.Share, Root: root, Cautions: cautions.Work()})
	}
	fmt.Fprintf(out, "%s: what is miswired, every test to the cause\n\n", d.title)
	if pairs != nil {
		wrap(out, "", fmt.Sprintf("No single fault gives what was reported. Two at once: %s, of %d that were tried; there are %d.", fitting(pairs.Pairs), pairs.Tried, pairs.Of))
		fmt.Fprintln(out)
	}
	if err := p.Write(out); err != nil {
		return err
	}
	return caution(out)
}
