package main

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"math"
	"slices"

	"example.com/switchleg/switchnet/steady"
)

// Measures of the plot, in pixels.
const (
	plotLeft   = 70
	plotRight  = 20
	plotTop    = 64
	stripHigh  = 84
	stripGap   = 34
	stateWide  = 12.0
	leastWide  = 420.0
	mostWide   = 1100.0
	plotBottom = 58
)

// plot returns an SVG with a strip for each light and a dot for each state: filled
// when the light is on, hollow when it is not, so that nothing hangs on colour.
func plot(title string, drop bool, states int, columns []*column) []byte {
	wide := math.Min(math.Max(stateWide*float64(states), leastWide), mostWide)
	step := wide / float64(max(states, 1))
	radius := math.Min(3.5, math.Max(1.2, step*0.3))
	high := plotTop + len(columns)*(stripHigh+stripGap) + plotBottom
	full := plotLeft + wide + plotRight
	var b bytes.Buffer
	what, unit, ceiling := "Volts at each light in every state", "V", 0.0
	if drop {
		what, unit = "Voltage drop at each light in every state where it is lit", "%"
	}
	for _, c := range columns {
		if !drop {
			ceiling = math.Max(ceiling, c.nominal)
		}
		for i, v := range c.values {
			if c.known[i] {
				ceiling = math.Max(ceiling, v)
			}
		}
	}
	tick := niceTick(ceiling)
	top := tick * math.Ceil(ceiling/tick*1.0001)
	if top == 0 {
		top = 1
	}
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" width="%.0f" height="%d" viewBox="0 0 %.0f %d" font-family="sans-serif" font-size="12">`+"\n", full, high, full, high)
	fmt.Fprintf(&b, "<title>%s: %s</title>\n", escape(title), what)
	fmt.Fprintf(&b, `<rect width="%.0f" height="%d" fill="#fff"/>`+"\n", full, high)
	fmt.Fprintf(&b, `<text x="%d" y="22" font-size="15">%s</text>`+"\n", plotLeft, escape(title))
	fmt.Fprintf(&b, `<text x="%d" y="40">%s</text>`+"\n", plotLeft, what)
	for k, c := range columns {
		base := float64(plotTop + k*(stripHigh+stripGap) + stripHigh + 14)
		y := func(v float64) float64 { return base - v/top*stripHigh }
		fmt.Fprintf(&b, `<text x="%d" y="%.1f" font-weight="bold">%s: %s</text>`+"\n", plotLeft, base-stripHigh-6, letters(k), escape(c.light.String()))
		for v := 0.0; v <= top*1.0001; v += tick {
			fmt.Fprintf(&b, `<line x1="%d" y1="%.1f" x2="%.1f" y2="%.1f" stroke="#bbb" stroke-width="%s"/>`+"\n", plotLeft, y(v), plotLeft+wide, y(v), map[bool]string{true: "1.2", false: "0.5"}[v == 0])
			fmt.Fprintf(&b, `<text x="%d" y="%.1f" text-anchor="end" font-size="10">%s %s</text>`+"\n", plotLeft-6, y(v)+3.5, short(v), unit)
		}
		if !drop {
			fmt.Fprintf(&b, `<line x1="%d" y1="%.1f" x2="%.1f" y2="%.1f" stroke="#000" stroke-width="0.8" stroke-dasharray="6 4"/>`+"\n", plotLeft, y(c.nominal), plotLeft+wide, y(c.nominal))
		}
		if !slices.Contains(c.known, true) {
			fmt.Fprintf(&b, `<text x="%.1f" y="%.1f" text-anchor="middle">%s in none of these states</text>`+"\n", plotLeft+wide/2, base-stripHigh/2+4, map[bool]string{true: "lit", false: "held at any volts"}[drop])
		}
		for i, v := range c.values {
			if !c.known[i] {
				continue
			}
			fill := "#fff"
			if c.states[i] == steady.Lit || c.states[i] == steady.Dim || c.states[i] == steady.Overdriven {
				fill = "#000"
			}
			fmt.Fprintf(&b, `<circle cx="%.1f" cy="%.1f" r="%.1f" fill="%s" stroke="#000" stroke-width="0.8"/>`+"\n", plotLeft+(float64(i)+0.5)*step, y(v), radius, fill)
		}
	}
	foot := float64(plotTop + len(columns)*(stripHigh+stripGap) + 2)
	every := roundStep(26 / step)
	for n := 1; n <= states; n++ {
		if n == 1 || n%every == 0 {
			fmt.Fprintf(&b, `<text x="%.1f" y="%.1f" text-anchor="middle" font-size="10">%d</text>`+"\n", plotLeft+(float64(n)-0.5)*step, foot, n)
		}
	}
	legend := "State, as numbered in the table. Filled: on. Hollow: off. Dashed: nominal volts."
	if drop {
		legend = "State, as numbered in the table."
	}
	fmt.Fprintf(&b, `<text x="%d" y="%.1f">%s</text>`+"\n", plotLeft, foot+20, legend)
	fmt.Fprintf(&b, `<text x="%d" y="%.1f" font-size="11">Computed, not measured. De-energize, lock out and prove dead before touching.</text>`+"\n", plotLeft, foot+38)
	b.WriteString("</svg>\n")
	return b.Bytes()
}

// niceTick returns a step of 1, 2 or 5 times a power of ten that divides a range
// into two to five.
func niceTick(top float64) float64 {
	if !(top > 0) {
		return 1
	}
	power := math.Pow(10, math.Floor(math.Log10(top)))
	for _, m := range []float64{0.2, 0.5, 1} {
		if top/(m*power) <= 4 {
			return m * power
		}
	}
	return 2 * power
}

// roundStep returns the least of 1, 2, 5, 10, 20 and so on that is not below a number.
func roundStep(least float64) int {
	for n := 1; ; n *= 10 {
		for _, m := range []int{1, 2, 5} {
			if float64(n*m) >= least {
				return n * m
			}
		}
	}
}

// letters names the lights in their order: A to Z, AA, AB and so on.
func letters(k int) string {
	s := ""
	for k++; k > 0; k = (k - 1) / 26 {
		s = string(rune('A'+(k-1)%26)) + s
	}
	return s
}

func short(v float64) string { return fmt.Sprintf("%.3g", v) }

func escape(s string) string {
	var b bytes.Buffer
	// Writing to a buffer does not fail.
	_ = xml.EscapeText(&b, []byte(s))
	return b.String()
}
