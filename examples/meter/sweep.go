package main

import (
	"cmp"
	"context"
	"fmt"
	"io"
	"iter"
	"strings"
	"text/tabwriter"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/atomicfile"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/steady"
)

// mostStates bounds a sweep: a longer table serves nobody.
const mostStates = 1024

// column is one light over all states.
type column struct {
	light   switchnet.Ref
	values  []float64 // volts, or percent of drop
	known   []bool
	states  []steady.LoadState
	nominal float64
}

// sweepInto writes the table of every light in every state, and the plot.
func (c *call) sweepInto(ctx context.Context, out io.Writer, b *bench) error {
	opt := &switchnet.StatesOptions{Hold: b.state}
	for _, text := range c.vary {
		ref, err := b.device(text)
		if err != nil {
			return err
		}
		opt.Vary = append(opt.Vary, ref)
	}
	states, count, err := b.w.Net().States(opt)
	if err != nil {
		return err
	}
	if !count.IsInt64() || count.Int64() > mostStates {
		return fmt.Errorf("meter: there are %v states and a sweep lists at most %d; name the devices to move with -vary", count, mostStates)
	}
	varied := opt.Vary
	if varied == nil {
		for d := range b.w.Net().Devices() {
			if len(d.Kind.Positions) > 1 && !d.Kind.Breaker {
				varied = append(varied, d.Ref)
			}
		}
	}
	var columns []*column
	stated := map[switchnet.Ref]quantity.Voltage{}
	for _, l := range b.w.Spec().Lights {
		stated[switchnet.Ref{Place: l.Box, Name: l.Name}] = l.Volts
	}
	for l := range b.w.Net().Loads() {
		nominal := cmp.Or(stated[l.Ref], b.w.Net().Source().System.LineToNeutral)
		columns = append(columns, &column{light: l.Ref, nominal: nominal.Volts()})
	}
	unit := "volts"
	if c.drop {
		unit = "drop of the nominal voltage in percent, where lit"
	}
	fmt.Fprintf(out, "Every light in every state: %s.\n\n", unit)
	for i, d := range varied {
		fmt.Fprintf(out, "  handle %d: %s\n", i+1, spellRef(d))
	}
	for i, col := range columns {
		fmt.Fprintf(out, "  light %s:  %s\n", letters(i), spellRef(col.light))
	}
	fmt.Fprintln(out)
	table := tabwriter.NewWriter(out, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprint(table, "state\thandles\t")
	for i := range columns {
		fmt.Fprintf(table, "%s\t", letters(i))
	}
	fmt.Fprint(table, "status\t\n")
	engine := b.w.Net().NewSolver()
	n := 0
	opens := false
	for state := range states {
		if err := ctx.Err(); err != nil {
			return err
		}
		n++
		sol, err := b.p.Solve(state)
		if err != nil {
			return err
		}
		view, err := engine.Solve(state)
		if err != nil {
			return err
		}
		var handles []string
		for _, d := range varied {
			p, _ := state.Position(d)
			handles = append(handles, p)
		}
		fmt.Fprintf(table, "%d\t%s\t", n, strings.Join(handles, " "))
		for _, col := range columns {
			fmt.Fprint(table, col.add(sol, view, c.drop)+"\t")
		}
		fmt.Fprint(table, sol.Status())
		for feed := range overloaded(sol) {
			opens = true
			fmt.Fprintf(table, ", %s opens", feed)
		}
		fmt.Fprint(table, "\t\n")
	}
	if err := table.Flush(); err != nil {
		return err
	}
	if opens {
		fmt.Fprint(out, "\nA breaker opens that carries more than its rating; the figures hold only until then.\n")
	}
	if c.svg == "" {
		return nil
	}
	if err := atomicfile.Write(c.svg, plot(b.title, c.drop, n, columns)); err != nil {
		return fmt.Errorf("meter: %w", err)
	}
	_, err = fmt.Fprintf(out, "\nPlot written to %s.\n", c.svg)
	return err
}

// overloaded yields the feeds that carry more than the rating of their breakers, each
// once.
func overloaded(sol *steady.Solution) iter.Seq[switchnet.Ref] {
	return func(yield func(switchnet.Ref) bool) {
		var last switchnet.Ref
		for f := range sol.Feeds() {
			if f.Over && f.Feed != last {
				if last = f.Feed; !yield(f.Feed) {
					return
				}
			}
		}
	}
}

// add takes what a light gets in one state and returns it as text.
func (col *column) add(sol *steady.Solution, view *switchnet.View, drop bool) string {
	r, ok := sol.Load(col.light)
	supply, _ := view.Supply(col.light)
	value := r.Volts.Magnitude().Volts()
	if drop {
		ok = ok && supply.Status == switchnet.Lit
		if ok {
			value = 100 * (supply.Volts - r.Volts.Magnitude()).Volts() / supply.Volts.Volts()
		}
	}
	col.values, col.known, col.states = append(col.values, value), append(col.known, ok), append(col.states, r.State)
	switch {
	case !ok:
		return "-"
	case drop:
		return fmt.Sprintf("%.3f", value)
	}
	return fmt.Sprintf("%.2f", value)
}
