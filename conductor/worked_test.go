package conductor

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/conductor/quantity"
)

// problem is one worked problem as the figures give it.
type problem struct {
	ID      string          `json:"id"`
	Region  string          `json:"region"`
	Edition json.RawMessage `json:"edition_assumed"`
	Kind    string          `json:"kind"`
	Givens  string          `json:"givens"`
	Verdict string          `json:"verdict"`
	Expect  json.RawMessage `json:"expect"`
	Note    string          `json:"note"`
}

// givens are the problem's quantities by name.
type givens map[string]string

func (g givens) has(key string) bool { _, ok := g[key]; return ok }

func (g givens) or(key, otherwise string) string {
	if v, ok := g[key]; ok {
		return v
	}
	return otherwise
}

func (p problem) givens() givens {
	g := givens{}
	for _, part := range strings.Split(p.Givens, ";") {
		key, value, _ := strings.Cut(part, "=")
		g[key] = value
	}
	return g
}

// edition returns the edition of the table that has the problem's numbers: its
// own where there is one, and otherwise the nearest, whose rows the problem uses
// are the same.
func (p problem) edition() string {
	switch e := strings.Trim(string(p.Edition), `"`); {
	case e == "" || e >= "2023":
		return "2023"
	case e >= "2020":
		return "2020"
	default:
		return "2017"
	}
}

// circuit is the part of the givens that describes conductors and surroundings.
func (g givens) circuit() Circuit {
	c := Circuit{Volts: must(quantity.ParseVoltage(g.or("V", "120") + " V")), Material: Copper, Construction: Loose, Insulation: 90 * quantity.Celsius}
	if g.has("nm") {
		c.Construction = NonmetallicSheath
	}
	if g.has("ins") {
		c.Insulation = degC(g["ins"])
	}
	if g.has("term") {
		c.Terminations = degC(g["term"])
	}
	if g.has("ambient_c") {
		c.Ambient = degC(g["ambient_c"])
	}
	if g.has("ambient_f") {
		c.Ambient = must(quantity.ParseTemperature(g["ambient_f"] + " F"))
	}
	if g.has("ccc") {
		c.Bundle = Bundle{Carrying: atoi(g["ccc"]), Sealed: atoi(g.or("cables", "0"))}
	}
	if g.has("ph") {
		c.Phases = atoi(g["ph"])
	}
	if g.has("pct") {
		c.DropLimit = percent(g["pct"])
	}
	if g.has("L") {
		c.Run = must(quantity.ParseLength(g["L"] + " ft"))
	}
	switch {
	case g.has("I_cont"):
		c.Load.Continuous = amps(g["I_cont"])
	case g.has("I"):
		c.Load.Other = amps(g["I"])
	case g.has("VA"):
		c.Load.Other = must(CurrentOf(must(quantity.ParseApparentPower(g["VA"]+" VA")), c.Volts, c.Phases))
	}
	return c
}

// drop returns the drop of a problem that gives its own resistance or constant.
func (g givens) drop(t *testing.T, table Table) quantity.Voltage {
	c := g.circuit()
	path := c.Run
	if c.Phases == 1 {
		path *= 2
	}
	var drop quantity.Voltage
	if g.has("R") {
		drop = must(DropByResistance(perKft(g["R"]), path, c.Load.Total()))
	} else {
		var area quantity.CircularMils
		for _, row := range table.Sizes {
			if row.Size == sizeOf(g["awg"]) {
				area = row.Area
			}
		}
		drop = must(DropByConstant(ohmPerFoot(g["K"]), area, path, c.Load.Total()))
	}
	if c.Phases == 3 {
		drop = quantity.Voltage(new(fraction).times(int64(drop)).times(rootThree).over(perWhole).round(nearest))
	}
	return drop
}

// answer works the problem and renders the answer as its expectation is written.
func (p problem) answer(t *testing.T, table Table, s *Sizer) string {
	g := p.givens()
	c := g.circuit()
	size := Size{}
	if g.has("awg") {
		size = sizeOf(g["awg"])
	}
	switch p.Kind {
	case "vd_volts":
		return fmt.Sprintf("%.3f", g.drop(t, table).Volts())
	case "vd_percent":
		if g.has("Vl") {
			drop := must(quantity.ParseVoltage(g["Vs"]+" V")) - must(quantity.ParseVoltage(g["Vl"]+" V"))
			return fmt.Sprintf("%.3f", 100*must(ShareOf(drop, must(quantity.ParseVoltage(g["Vs"]+" V")))).Float64())
		}
		return fmt.Sprintf("%.3f", 100*must(ShareOf(g.drop(t, table), c.Volts)).Float64())
	case "min_load_volts":
		volts, _ := quantity.Scale(c.Volts, quantity.Whole-c.DropLimit)
		return fmt.Sprintf("%.3f", volts.Volts())
	case "min_awg_vd":
		c.DropMethod = ByConstant
		least, status, err := s.LeastForDrop(c)
		if err != nil || status != Fits {
			t.Errorf("%s: %v, %v", p.ID, status, err)
		}
		return least.gaugeNumber()
	case "min_awg_load":
		z, err := s.Size(c)
		if err != nil || z.Status != Fits {
			t.Errorf("%s: %v, %v", p.ID, z.Status, err)
		}
		return z.Size.gaugeNumber()
	case "ampacity":
		y := must(s.Capability(c, size))
		return fmt.Sprintf("%.3f", y.Corrected.Amperes())
	case "nm_ampacity":
		c.Construction = NonmetallicSheath
		return fmt.Sprintf("%.3f", must(s.Capability(c, size)).Ampacity.Amperes())
	case "max_ocpd":
		if c.Terminations == 0 {
			c.Terminations = 75 * quantity.Celsius
		}
		return fmt.Sprintf("%.0f", must(s.Capability(c, size)).MaxBreaker.Amperes())
	case "egc_proportional":
		return must(s.InProportion(sizeOf(g["egc"]), sizeOf(g["from"]), sizeOf(g["to"]))).gaugeNumber()
	case "uk_vd_volts":
		rate := must(quantity.ParseVoltDropRate(g["mv"] + " mV/A/m"))
		return fmt.Sprintf("%.3f", must(DropByRate(rate, must(quantity.ParseLength(g["L_m"]+" m")), amps(g["I"]))).Volts())
	}
	t.Errorf("%s: a kind of problem nobody works: %s", p.ID, p.Kind)
	return ""
}

// The worked problems are kept apart from the tables: most come with an answer
// printed elsewhere, and all with the answer that is right by the rule.
func TestWorkedProblems(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("rules", "testdata", "facts", "worked_conductor_sizing.json"))
	if err != nil {
		t.Fatal(err)
	}
	var problems []problem
	if err := json.Unmarshal(text, &problems); err != nil {
		t.Fatal(err)
	}
	worked := 0
	for _, p := range problems {
		if p.Verdict == "ambiguous" {
			continue // its text can be read two ways; no oracle
		}
		worked++
		table := usTable(t, p.edition())
		s := sizerOf(t, table)
		want := strings.Trim(string(p.Expect), `"`)
		got := p.answer(t, table, s)
		if number := json.Number(want); strings.Contains(got, ".") {
			f, err := number.Float64()
			if err != nil {
				t.Fatal(err)
			}
			want = fmt.Sprintf("%.3f", f)
		}
		if got != want {
			t.Errorf("%s (%s, %s): got %s, want %s (%s)", p.ID, p.Kind, p.Givens, got, want, p.Note)
		}
	}
	if worked < 25 {
		t.Errorf("only %d problems worked", worked)
	}
}

// Of the rule questions one is about conductors: the circular mils of 2 AWG,
// which a page in circulation prints with two digits exchanged.
func TestRuleQuestionOnCircularMils(t *testing.T) {
	rows := facts(t, "worked_rule_questions")
	i := slices.IndexFunc(rows, func(row map[string]string) bool { return row["question_key"] == "2_awg_circular_mils" })
	if i < 0 {
		t.Fatal("the question is gone")
	}
	mils, _ := AWG(2).CircularMils()
	if got := fmt.Sprint(int64(mils)); got != rows[i]["right"] {
		t.Errorf("2 AWG has %s circular mils, want %s", got, rows[i]["right"])
	}
}
