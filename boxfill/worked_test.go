package boxfill_test

import (
	"encoding/json"
	"os"
	"sort"
	"strings"
	"testing"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
)

// problem is a worked problem: what is given, what is asked, what is right by
// the rule in each edition.
type problem struct {
	ID, Why, Question string
	Ambiguous         bool
	Conductors        map[string]int
	Pigtails          int
	InternalClamps    int      `json:"internal_clamps"`
	SupportFittings   []string `json:"support_fittings"`
	Devices           []struct {
		AWG   string
		Gangs int
	}
	GroundCount  int            `json:"egc_count"`
	GroundSize   string         `json:"egc_awg"`
	FixtureWires map[string]int `json:"fixture_wires"`
	Canopy       bool
	Box          json.Number `json:"box_in3"`
	Choices      []string
	Expect       map[string]json.RawMessage // by edition: a volume in in3, a count, a box
	Fill         map[string]json.Number     `json:"fill_in3"` // by edition: what is required
}

func gauge(t *testing.T, number string) conductor.Size {
	t.Helper()
	size, err := conductor.ParseSize(number + " AWG")
	if err != nil {
		t.Fatal(err)
	}
	return size
}

// contents turns the givens into contents.
func (p *problem) contents(t *testing.T) boxfill.Contents {
	t.Helper()
	c := boxfill.Contents{Canopy: p.Canopy, Clamps: boxfill.Clamps{Internal: p.InternalClamps}}
	for _, number := range keys(p.Conductors) {
		c.Conductors = append(c.Conductors, boxfill.Conductors{Size: gauge(t, number), Count: p.Conductors[number], Role: boxfill.Spliced})
	}
	for _, number := range keys(p.FixtureWires) {
		c.Conductors = append(c.Conductors, boxfill.Conductors{Size: gauge(t, number), Count: p.FixtureWires[number], Role: boxfill.FixtureWire})
	}
	if p.Pigtails > 0 {
		c.Conductors = append(c.Conductors, boxfill.Conductors{Size: c.Conductors[0].Size, Count: p.Pigtails, Role: boxfill.Pigtail})
	}
	if p.GroundCount > 0 {
		c.Grounds = []boxfill.Grounds{{Size: gauge(t, p.GroundSize), Count: p.GroundCount, Kind: boxfill.BareGround}}
	}
	for _, kind := range p.SupportFittings {
		c.Fittings = append(c.Fittings, boxfill.Fittings{Kind: kind, Count: 1})
	}
	for _, d := range p.Devices {
		c.Devices = append(c.Devices, boxfill.Device{Largest: gauge(t, d.AWG), Gangs: d.Gangs})
	}
	if p.Box != "" {
		c.Box = boxfill.MarkedBox(vol(p.Box.String() + " in3"))
	}
	return c
}

func keys(m map[string]int) []string {
	var ks []string
	for k := range m {
		ks = append(ks, k)
	}
	sort.Strings(ks)
	return ks
}

func readProblems(t *testing.T) []problem {
	t.Helper()
	data, err := os.ReadFile("testdata/facts/worked_box_fill.json")
	if err != nil {
		t.Fatal(err)
	}
	var problems []problem
	if err := json.Unmarshal(data, &problems); err != nil {
		t.Fatal(err)
	}
	return problems
}

// TestWorkedProblems gives each worked problem its expected answer in every
// edition it lists.
func TestWorkedProblems(t *testing.T) {
	asked := 0
	for _, p := range readProblems(t) {
		if p.Ambiguous {
			continue // two readings, so no oracle; see TestTooManyFixtureWires
		}
		for edition, expect := range p.Expect {
			t.Run(p.ID+"/"+edition, func(t *testing.T) {
				table := region(t, "us-"+edition)
				contents := p.contents(t)
				result, err := boxfill.Fill(table, contents)
				if err != nil {
					t.Fatal(err)
				}
				if want := vol(p.Fill[edition].String() + " in3"); result.Required != want {
					t.Errorf("%s: required %v, want %v\n%s", p.Why, result.Required, want, result.Explain())
				}
				var want string
				if json.Unmarshal(expect, &want) != nil {
					want = string(expect)
				}
				if got := answer(t, &p, table, contents, result); got != want {
					t.Errorf("%s: %s is %s, want %s\n%s", p.Why, p.Question, got, want, result.Explain())
				}
			})
			asked++
		}
	}
	if asked < 80 {
		t.Errorf("only %d questions were asked", asked)
	}
}

// answer answers the question of a problem in the words of its expect value.
func answer(t *testing.T, p *problem, table *boxfill.Table, contents boxfill.Contents, result boxfill.Result) string {
	t.Helper()
	inches := func(v quantity.Volume) string {
		text := strings.TrimSuffix(v.In(in3), " in3")
		if !strings.Contains(text, ".") {
			text += ".0" // as the problems write whole volumes
		}
		return text
	}
	kind, number, _ := strings.Cut(p.Question, "_")
	switch kind {
	case "min": // the volume required
		return inches(result.Required)
	case "fits":
		if want := boxfill.Fits; result.Status != want {
			t.Errorf("status %v, want %v", result.Status, want)
		}
		return inches(result.Required)
	case "egc":
		for _, line := range result.Lines {
			if line.Item != boxfill.ItemGround && line.Item != boxfill.ItemGroundBeyond {
				t.Errorf("unexpected line %v", line)
			}
		}
		return inches(result.Required)
	case "conductor": // the number of allowances
		return result.Allowances.String()
	case "max": // how many conductors of a size, or how many more
		number = number[strings.LastIndex(number, "_")+1:]
		n, _, err := boxfill.More(table, contents, gauge(t, number))
		if err != nil {
			t.Fatal(err)
		}
		return boxfill.Weight(int64(n) * int64(boxfill.One)).String()
	case "box": // the smallest of several boxes
		var stock []boxfill.StockBox
		for _, name := range p.Choices {
			stock = append(stock, boxfill.StockBox{Name: name, Section: boxfill.Section{Type: boxName(t, table, name)}})
		}
		choices, err := boxfill.Pick(table, stock, contents)
		if err != nil {
			t.Fatal(err)
		}
		if len(choices) == 0 {
			return "none"
		}
		return choices[0].Box.Name
	}
	t.Fatalf("unknown question %q", p.Question)
	return ""
}

// TestWorkedProblemsCanada does the same for the Canadian rules, in which the
// metric column rules; the inch column is told beside it.
func TestWorkedProblemsCanada(t *testing.T) {
	for _, row := range readFacts(t, "worked_box_fill_canada.csv") {
		t.Run(row["id"], func(t *testing.T) {
			var c boxfill.Contents
			for _, entry := range strings.Split(row["insulated_conductors"], ";") {
				number, count, _ := strings.Cut(entry, "x")
				c.Conductors = append(c.Conductors, boxfill.Conductors{Size: gauge(t, number), Count: atoi(t, count), Role: boxfill.Spliced})
			}
			for _, number := range strings.Split(row["devices_awg"], ";") {
				if number != "" {
					c.Devices = append(c.Devices, boxfill.Device{Largest: gauge(t, number), Depth: 2 * quantity.Centimeter})
				}
			}
			c.Connectors = []boxfill.Connectors{{Largest: gauge(t, row["caps_largest_awg"]), Count: atoi(t, row["caps"])}}
			c.Grounds = []boxfill.Grounds{{Size: c.Conductors[0].Size, Count: 3, Kind: boxfill.BareGround}} // free
			c.Clamps.Internal = 2                                                                           // free
			box := vol("100 in3")
			if row["box_in3"] != "" {
				box = vol(row["box_in3"] + " in3")
			}
			c.Box = boxfill.MarkedBox(box)
			result, err := boxfill.Fill(region(t, "ca"), c)
			if err != nil {
				t.Fatal(err)
			}
			if want := vol(row["expect_mL"] + " mL"); result.Required != want {
				t.Errorf("%s: required %v, want %v\n%s", row["why"], result.Required, want, result.Explain())
			}
			if want := vol(row["expect_in3"] + " in3"); result.Other.Required != want {
				t.Errorf("%s: by the inch column %v, want %v", row["why"], result.Other.Required, want)
			}
			if row["fits"] == "1" && !result.Status.OK() {
				t.Errorf("%s: %v, want it to fit", row["why"], result.Status)
			}
		})
	}
}
