package conductor_test

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
)

var factsDir = filepath.Join("rules", "testdata", "facts")

// must unwraps a value a test cannot do without.
func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

func sizerOf(t *testing.T, region string) *conductor.Sizer {
	t.Helper()
	r, err := rules.Load(region)
	if err != nil {
		t.Fatal(err)
	}
	s, err := conductor.NewSizer(r.Conductor)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

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

// region returns the region that has the problem's numbers: its own edition
// where there is one, and otherwise the nearest, whose rows that the problem
// uses are the same.
func (p problem) region() string {
	if p.Region == "UK" {
		return "uk-2018"
	}
	switch e := strings.Trim(string(p.Edition), `"`); {
	case e == "" || e >= "2023":
		return "us-2023"
	case e >= "2020":
		return "us-2020"
	}
	return "us-2017"
}

// givens are the problem's quantities by name, read with the unit they go by.
type givens map[string]string

func (p problem) givens() givens {
	g := givens{}
	for _, part := range strings.Split(p.Givens, ";") {
		key, value, _ := strings.Cut(part, "=")
		g[key] = value
	}
	return g
}

func (g givens) has(key string) bool { _, ok := g[key]; return ok }

func (g givens) count(key string) int {
	n, _ := strconv.Atoi(g[key]) // 0 when not given
	return n
}

func (g givens) size(key string) conductor.Size {
	if s, err := conductor.ParseSize(g[key] + " AWG"); err == nil {
		return s
	}
	return must(conductor.ParseSize(g[key] + " kcmil"))
}

func (g givens) volts(key string) quantity.Voltage {
	return must(quantity.ParseVoltage(g[key] + " V"))
}

func (g givens) perKft(key string) quantity.ResistancePerLength {
	return must(quantity.ParseResistancePerLength(g[key] + " ohm/kft"))
}

// circuit is the part of the givens that describes conductors and surroundings.
func (g givens) circuit() conductor.Circuit {
	c := conductor.Circuit{Volts: 120 * quantity.Volt, Material: conductor.Copper, Construction: conductor.Loose, Insulation: 90 * quantity.Celsius,
		Phases: g.count("ph"), Bundle: conductor.Bundle{Carrying: g.count("ccc"), Sealed: g.count("cables")}}
	if g.has("nm") || g.has("cables") {
		c.Construction = conductor.NonmetallicSheath
	}
	for key, set := range map[string]func(string){
		"V":         func(v string) { c.Volts = g.volts("V") },
		"ins":       func(v string) { c.Insulation = must(quantity.ParseTemperature(v + " C")) },
		"term":      func(v string) { c.Terminations = must(quantity.ParseTemperature(v + " C")) },
		"ambient_c": func(v string) { c.Ambient = must(quantity.ParseTemperature(v + " C")) },
		"ambient_f": func(v string) { c.Ambient = must(quantity.ParseTemperature(v + " F")) },
		"pct":       func(v string) { c.DropLimit = must(quantity.ParseRatio(v + " %")) },
		"L":         func(v string) { c.Run = must(quantity.ParseLength(v + " ft")) },
		"L_m":       func(v string) { c.Run = must(quantity.ParseLength(v + " m")) },
		"I":         func(v string) { c.Load.Other = must(quantity.ParseCurrent(v + " A")) },
		"I_cont":    func(v string) { c.Load.Continuous = must(quantity.ParseCurrent(v + " A")) },
		"VA": func(v string) {
			c.Load.Other = must(conductor.CurrentOf(must(quantity.ParseApparentPower(v+" VA")), g.volts("V"), g.count("ph")))
		},
	} {
		if g.has(key) {
			set(g[key])
		}
	}
	return c
}

// drop works a problem that gives its own resistance or trade constant.
func (g givens) drop() quantity.Voltage {
	const rootThree = 1_732_050_808 // in billionths
	c := g.circuit()
	path := 2 * c.Run
	if c.Phases == 3 {
		path, _ = quantity.Scale(c.Run, rootThree)
	}
	if g.has("R") {
		return must(conductor.DropByResistance(g.perKft("R"), path, c.Load.Total()))
	}
	area, _ := g.size("awg").CircularMils()
	return must(conductor.DropByConstant(1000*g.perKft("K"), area, path, c.Load.Total()))
}

// answer works the problem and renders the answer as its expectation is written.
func (p problem) answer(t *testing.T, s *conductor.Sizer) string {
	g := p.givens()
	c := g.circuit()
	gauge := func(size conductor.Size, status conductor.Status, err error) string {
		if err != nil || status != conductor.Fits {
			t.Errorf("%s: %v, %v", p.ID, status, err)
		}
		return strings.TrimSuffix(size.String(), " AWG")
	}
	volts := func(v quantity.Voltage) string { return fmt.Sprintf("%.3f", v.Volts()) }
	percent := func(drop, supply quantity.Voltage) string {
		return fmt.Sprintf("%.3f", 100*must(conductor.ShareOf(drop, supply)).Float64())
	}
	switch p.Kind {
	case "vd_volts":
		return volts(g.drop())
	case "vd_percent":
		if g.has("Vl") {
			return percent(g.volts("Vs")-g.volts("Vl"), g.volts("Vs"))
		}
		return percent(g.drop(), c.Volts)
	case "min_load_volts":
		least, _ := quantity.Scale(c.Volts, quantity.Whole-c.DropLimit)
		return volts(least)
	case "min_awg_vd":
		c.DropMethod = conductor.ByConstant
		return gauge(s.LeastForDrop(c))
	case "min_awg_load":
		z, err := s.Size(c)
		return gauge(z.Size, z.Status, err)
	case "ampacity":
		return fmt.Sprintf("%.3f", must(s.Capability(c, g.size("awg"))).Corrected.Amperes())
	case "nm_ampacity":
		return fmt.Sprintf("%.3f", must(s.Capability(c, g.size("awg"))).Ampacity.Amperes())
	case "max_ocpd":
		return fmt.Sprintf("%.0f", must(s.Capability(c, g.size("awg"))).MaxBreaker.Amperes())
	case "egc_proportional":
		size, err := s.InProportion(g.size("egc"), g.size("from"), g.size("to"))
		return gauge(size, conductor.Fits, err)
	case "uk_vd_volts":
		return volts(must(conductor.DropByRate(must(quantity.ParseVoltDropRate(g["mv"]+" mV/A/m")), c.Run, c.Load.Total())))
	}
	t.Errorf("%s: a kind of problem nobody works: %s", p.ID, p.Kind)
	return ""
}

// The worked problems are kept apart from the tables: most come with an answer
// printed elsewhere, and all with the answer that is right by the rule.
func TestWorkedProblems(t *testing.T) {
	text, err := os.ReadFile(filepath.Join(factsDir, "worked_conductor_sizing.json"))
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
		want := strings.Trim(string(p.Expect), `"`)
		got := p.answer(t, sizerOf(t, p.region()))
		if strings.Contains(got, ".") {
			f, err := strconv.ParseFloat(want, 64)
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
	f, err := os.Open(filepath.Join(factsDir, "worked_rule_questions.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for _, row := range must(csv.NewReader(f).ReadAll()) {
		if row[3] != "2_awg_circular_mils" {
			continue
		}
		mils, _ := conductor.AWG(2).CircularMils()
		if got := fmt.Sprint(int64(mils)); got != row[5] {
			t.Errorf("2 AWG has %s circular mils, want %s", got, row[5])
		}
		return
	}
	t.Error("the question is gone")
}
