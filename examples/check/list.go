package main

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/internal/program"
	"example.com/switchleg/switchnet/check"
)

// listed is what -list says.
type listed struct {
	Rules  program.Rules `json:"rules"`
	Suites []listedSuite `json:"suites"`
}

type listedSuite struct {
	Name    string       `json:"name"`
	Rules   []listedRule `json:"rules"`
	LeftOut []leftOut    `json:"left_out"`
}

type listedRule struct {
	Code  string      `json:"code"`
	Topic check.Topic `json:"topic"`
	Doc   string      `json:"doc"`
}

// tell lists the suites of a region: all of them, or the one that the flag names.
func (f *flagged) tell(region *rules.Region, out io.Writer) error {
	suites := check.Suites(region)
	whole := check.Everything(region)
	if f.suite != everything {
		var err error
		if whole, err = choose(region, f.suite); err != nil {
			return err
		}
		suites = []check.Suite{whole}
	}
	l := listed{Rules: program.RulesOf(region)}
	for _, s := range suites {
		v := listedSuite{Name: s.Name, Rules: []listedRule{}, LeftOut: omitted(&s)}
		for _, r := range s.Rules {
			v.Rules = append(v.Rules, listedRule{string(r.Code), r.Topic, r.Doc})
		}
		l.Suites = append(l.Suites, v)
	}
	if f.json {
		return program.WriteJSON(out, l)
	}
	return l.write(out, omitted(&whole))
}

// write prints the suites and, once, what none of them asks.
func (l *listed) write(out io.Writer, not []leftOut) error {
	var b strings.Builder
	if err := l.Rules.Write(&b, true); err != nil {
		return err
	}
	width := 0
	for _, s := range l.Suites {
		for _, r := range s.Rules {
			width = max(width, len(r.Code))
		}
	}
	for _, s := range l.Suites {
		fmt.Fprintf(&b, "\n%s (%s)\n", s.Name, count(len(s.Rules), "rule", "rules"))
		for _, r := range s.Rules {
			fmt.Fprintf(&b, "  %-*s  %s\n", width, r.Code, r.Doc)
		}
	}
	b.WriteString("\nleft out\n")
	for _, why := range reasons(not) {
		fmt.Fprintf(&b, "  because %s:\n", why)
		for _, n := range not {
			switch {
			case n.Why != why:
			case n.Code != "":
				fmt.Fprintf(&b, "    %s: %s\n", n.Code, n.What)
			default:
				fmt.Fprintf(&b, "    %s\n", n.What)
			}
		}
	}
	if len(not) == 0 {
		b.WriteString("  nothing\n")
	}
	_, err := io.WriteString(out, b.String())
	return err
}

// reasons returns the reasons why things are left out, each once, in their order.
func reasons(not []leftOut) []string {
	var out []string
	for _, n := range not {
		if !slices.Contains(out, n.Why) {
			out = append(out, n.Why)
		}
	}
	return out
}
