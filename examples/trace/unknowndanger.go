package main

import (
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/switchnet/identify"
)

// safely is how anything is touched that this mode tells a person to part or to open.
const safely = "with every circuit that enters the box locked out, tagged and proven dead"

// dangers returns everything that is forbidden or dangerous in how a control is wired, or
// has to be minded in it: the scheme first, then what its neutral does. What is to be
// parted is said with how.
func dangers(p identify.Plan) []string {
	var out []string
	add := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	all := circuits(p)
	switch p.Scheme {
	case identify.SwitchedNeutral:
		add("UNLAWFUL: the switches are in the neutral, so that the lights are live while they are dark, whatever flipping shows. Have it rewired.")
	case identify.HotNeutralThrows:
		add("UNLAWFUL: hot and neutral are on the throws, so that the lights may be live while they are dark, whatever flipping shows, and one landing amiss is a bolted fault. Have it rewired.")
	default:
		if !p.Scheme.Lawful() {
			add("UNLAWFUL and dangerous, whatever flipping shows. Have it rewired.")
		}
	}
	if p.Borrowed() {
		add("BORROWED NEUTRAL: that of %s is live with the breaker of %s off. Lock out %s, and prove it dead before you open it; have it put right.", p.Neutral, p.Neutral, all)
	}
	switch {
	case p.JoinedWith != "":
		add("NEUTRALS OF SEVERAL CIRCUITS JOINED in %s: each is live with its own breaker off. Lock out %s, and part them there only %s; each then goes with its own hot.", p.JoinedIn, all, safely)
	case p.JoinedIn != "":
		add("NEUTRAL BY TWO WAYS: what is joined again in %s shares the current, and neither cable balances. Part the two at one end, only %s.", p.JoinedIn, safely)
	}
	if p.OneLine {
		add("OVERLOADED NEUTRAL: circuits of one line share it, and it carries the sum. Switch off and lock out %s, and have it put right.", all)
	}
	if p.Shares != "" {
		add("SHARED NEUTRAL: it is live while any of %s is on. Lock out all of them, and prove it dead before you open it.", all)
	}
	if p.ApartFrom != "" {
		add("Its neutral goes with its own hot: do not join the two where they lie apart.")
	}
	return out
}

// circuits returns the circuits that the neutral of a control may be live from.
func circuits(p identify.Plan) string {
	var out []string
	for _, c := range []string{p.Feed, p.Neutral, p.Shares, p.JoinedWith} {
		if c != "" && !slices.Contains(out, c) {
			out = append(out, c)
		}
	}
	return strings.Join(out, " and ")
}

// planned returns how a control is wired, without a word on the law, which dangers says.
func planned(p identify.Plan) string { return strings.TrimSuffix(p.String(), " (unlawful)") }
