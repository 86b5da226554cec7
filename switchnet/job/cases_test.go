package job_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/internal/golden"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/wiring"
)

// cases are wirings that people met, with what was seen or worked out by hand: in
// how many states of the switches each light is lit, and how many are shorts. The
// table of every state stands beside each file.
var cases = []struct {
	name, why     string
	states, short int
	lit           map[string]int
}{
	{"bare-as-traveler", "short whenever the bare traveler is the live one; of the other two states one lights", 4, 2, map[string]int{"lamp": 1}},
	{"blacks-on-like-screws", "a changeover has one common: both handles must be right", 4, 0, map[string]int{"lamp": 1}},
	{"borrowed-neutral", "an ordinary pair as far as the lamp can tell", 4, 0, map[string]int{"landing lamp": 2}},
	{"fed-in-the-centre", "three places make a parity; the fan has its own single-pole", 16, 0, map[string]int{"lamp": 8, "fan": 8}},
	{"feed-through-on-the-leg", "what lies beyond follows the switch; the desk lamp is never off", 2, 0, map[string]int{"lamp": 1, "bedroom lamp": 1, "desk lamp": 2}},
	{"five-wires-in-two-cables", "two independent pairs", 16, 0, map[string]int{"lamp": 8, "fan": 8}},
	{"four-way-pairs-mixed", "in one position of the middle device a parity of the ends, in the other nothing", 8, 0, map[string]int{"lamp": 2}},
	{"hot-and-neutral-on-the-throws", "lit when the handles are unlike", 4, 0, map[string]int{"lamp": 2}},
	{"hot-joined-to-traveler", "one traveler is always live, the other and the bank with the north handle", 4, 0, map[string]int{"lamp": 3, "bank": 2}},
	{"neutrals-of-two-circuits-tied", "two independent pairs; the tie shows in no lamp", 16, 0, map[string]int{"hall lamp": 8, "porch lamp": 8}},
	{"one-control-of-a-pair", "one contact", 2, 0, map[string]int{"fan": 1}},
	{"open-traveler", "one of two ways is gone", 4, 0, map[string]int{"lamp": 1}},
	{"orphan-three-way", "a three-way as a single", 2, 0, map[string]int{"lamp": 1}},
	{"relocated-box", "common and traveler exchanged at the leg's end", 4, 0, map[string]int{"lamp": 1}},
	{"replaced-on-the-throws", "the replaced device joins hot and neutral in one of its positions", 4, 2, map[string]int{"lamp": 1}},
	{"return-in-the-neutrals", "the closed chain joins hot and neutral; lamps on the constant hot burn in the other states, the one on the leg in none",
		4, 2, map[string]int{"lamp 1": 2, "lamp 2": 2, "lamp 3": 2, "lamp 4": 0}},
	{"single-pole-in-its-place", "one traveler only, and only when the single-pole is on", 4, 0, map[string]int{"lamp": 1}},
	{"tap-on-a-traveler", "a traveler is live in half of the states", 4, 0, map[string]int{"lamp": 2, "pump": 2}},
	{"three-places-right", "parity", 8, 0, map[string]int{"lamp": 4}},
	{"travelers-exchanged", "parity stays parity", 4, 0, map[string]int{"lamp": 2}},
	{"two-circuits-in-one-box", "each switch lights its own", 4, 0, map[string]int{"hall lamp": 2, "porch lamp": 2}},
	{"two-ends-wrong", "with one device wrong it would be two of eight", 8, 0, map[string]int{"lamp": 1}},
	{"white-carries-the-hot", "an ordinary pair with a dead end", 4, 0, map[string]int{"lamp": 2}},
	{"wrong-since-built", "common and traveler exchanged at the feed's end", 4, 0, map[string]int{"lamp": 1}},
}

func TestCases(t *testing.T) {
	files, err := filepath.Glob("testdata/cases/*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	var listed []string
	for _, c := range cases {
		listed = append(listed, "testdata/cases/"+c.name+".yaml")
	}
	slices.Sort(listed)
	if !slices.Equal(files, listed) {
		t.Errorf("the files are %v, the cases %v", files, listed)
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			name := "testdata/cases/" + c.name
			src, err := os.ReadFile(name + ".yaml")
			if err != nil {
				t.Fatal(err)
			}
			f := parse(t, name+".yaml", src)
			if out, err := job.Format(name, src, nil); err != nil || !bytes.Equal(out, src) {
				t.Errorf("not in the canonical layout (%v); that is\n%s", err, out)
			}
			w, err := wiring.New(f.Wiring)
			if err != nil {
				t.Fatal(err)
			}
			table, states, short, lit := truthTable(t, w.Net())
			if states != c.states || short != c.short {
				t.Errorf("%d states of which %d are shorts, want %d and %d: %s", states, short, c.states, c.short, c.why)
			}
			for light, n := range c.lit {
				if lit[light] != n {
					t.Errorf("%s is lit in %d states, want %d: %s", light, lit[light], n, c.why)
				}
			}
			golden.Compare(t, name+".table", table)
		})
	}
}

// truthTable returns a line for each state: the position of each device and what
// every light does, and the counts.
func truthTable(t *testing.T, net *switchnet.Net) (table []byte, states, short int, lit map[string]int) {
	t.Helper()
	seq, _, err := net.States(nil)
	if err != nil {
		t.Fatal(err)
	}
	solver := net.NewSolver()
	lit = map[string]int{}
	var b strings.Builder
	for s := range seq {
		v, err := solver.Solve(s)
		if err != nil {
			t.Fatal(err)
		}
		states++
		fmt.Fprintf(&b, "%v:", s)
		for l, supply := range v.Supplies() {
			fmt.Fprintf(&b, " %s %v", l.Name, supply.Status)
			if supply.Status == switchnet.Lit {
				lit[l.Name]++
				fmt.Fprintf(&b, " at %v", supply.Volts)
			}
			b.WriteByte(';')
		}
		if v.Shorted() {
			short++
			b.WriteString(" short")
		}
		b.WriteByte('\n')
	}
	return []byte(b.String()), states, short, lit
}
