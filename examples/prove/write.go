package main

import (
	"io"
	"reflect"
	"strings"

	"example.com/switchleg/internal/cautions"
)

func (r *jobReport) write(out io.Writer) error {
	p := &printer{w: out}
	p.line("%s: %s, %s, breakers on.", r.Title, count(len(r.Switches), "device that moves", "devices that move"), states(r.States))
	if r.Shorted.Count == "0" {
		p.line("No state is shorted.")
	} else {
		p.line("SHORTED in %s of %s, for one with %s.", r.Shorted.Count, states(r.States), told(r.Shorted.State))
	}
	for _, t := range r.Transit {
		if t.Count == "0" {
			p.line("Nor with any handle half way, %s.", t.Kind)
		} else {
			p.line("With handles half way, %s: SHORTED in %s, for one with %s.", t.Kind, states(t.Count), told(t.State))
		}
	}
	for i := range r.Controls {
		r.Controls[i].write(p)
	}
	p.line("")
	if p.err == nil {
		p.err = cautions.Write(out, 78)
	}
	return p.err
}

func (c *control) write(p *printer) {
	p.line("")
	p.line("%s", c.Name)
	for _, m := range c.Missing {
		p.line("  No switch of this control is at %s.", m)
	}
	for i := 0; i < len(c.Lights); {
		l := c.Lights[i]
		alike := []string{l.at()}
		for i++; i < len(c.Lights) && c.Lights[i].like(&l); i++ {
			alike = append(alike, c.Lights[i].at())
		}
		l.write(p, c, alike)
	}
}

func (l *light) at() string { return l.Name + " at " + l.Place }

// like reports whether all that is said of two lights but their names is the same.
func (l *light) like(m *light) bool {
	a, b := *l, *m
	a.Rule, b.Rule = strings.TrimPrefix(a.Rule, a.at()), strings.TrimPrefix(b.Rule, b.at())
	a.Name, a.Place, b.Name, b.Place = "", "", "", ""
	return reflect.DeepEqual(a, b)
}

// write tells of a light, and of those that are like it.
func (l *light) write(p *printer, c *control, alike []string) {
	p.line("  %s:", join(alike))
	switch {
	case l.Proven && len(c.Switches) == 1:
		p.line("    works from %s: %s.", names(c.Switches), l.counts())
	case l.Proven:
		p.line("    works from each of %s, whatever the others stand at: %s.", names(c.Switches), l.counts())
	default:
		p.line("    does NOT work from every place in every state: %s.", l.counts())
		p.line("    %s.", l.Rule)
	}
	for _, e := range l.Exceptions {
		p.line("    Set %s: %s. Then move %s at %s to %s: %s.", told(e.State), e.Before, e.Switch, e.Place, e.To, e.After)
	}
	for _, u := range l.Unclean {
		p.line("    NOT clean when off: %s can be live while the light is unlit, in %s, for one with %s.", u.Terminal, states(u.Count), told(u.State))
	}
	if len(l.Unclean) == 0 {
		p.line("    Neither of its terminals is live while it is unlit.")
	}
}

// counts says in how many states the light is what; together they are all states.
func (l *light) counts() string {
	s := "lit in " + states(l.Lit) + ", unlit in " + l.Unlit
	if l.Dim != "0" {
		s += ", in series with others in " + l.Dim
	}
	if l.Faulted != "0" {
		s += ", on a short in " + l.Faulted
	}
	return s
}

// states names a number of states.
func states(n string) string {
	if n == "1" {
		return "1 state"
	}
	return n + " states"
}

// told lists settings as a person would set them.
func told(list []setting) string {
	words := make([]string, len(list))
	for i, s := range list {
		words[i] = s.Switch + " at " + s.Place + " " + s.Position
	}
	return join(words)
}

func names(list []setting) string {
	words := make([]string, len(list))
	for i, s := range list {
		words[i] = s.Place
	}
	return join(words)
}

func join(words []string) string {
	switch n := len(words); n {
	case 0:
		return "nothing"
	case 1:
		return words[0]
	default:
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
}

func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return grouped(int64(n)) + " " + many
}
