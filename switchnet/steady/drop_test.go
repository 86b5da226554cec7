package steady_test

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"testing"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/wiring"
)

// workedDrop is a worked problem of voltage drop: a resistance, a rate, or a trade
// constant per thousand feet of one circular mil with a gauge; and what was
// published, a voltage or the least gauge that keeps within a percentage.
type workedDrop struct {
	ID             string
	Per            quantity.ResistancePerLength
	Rate           quantity.VoltDropRate
	K              quantity.ResistancePerLength
	AWG, Smaller   int
	Length         quantity.Length
	Current        quantity.Current
	Supply         quantity.Voltage
	Phases         int
	Volts, Percent float64
	Decimals       int
	Why            string
}

// table returns a table with the figure of the problem for one gauge.
func (d workedDrop) table(awg int) *conductor.Table {
	src := conductor.Source{Section: "worked problem", Confidence: conductor.HighConfidence}
	switch {
	case d.Per > 0:
		return &conductor.Table{Region: "test", DropMethod: conductor.ByResistance, Resistances: []conductor.Resistance{
			{Material: conductor.Copper, Size: conductor.AWG(awg), Stranding: conductor.Solid, Resistance: d.Per, At: 75 * quantity.Celsius, Source: src}}}
	case d.Rate > 0:
		t := &conductor.Table{Region: "test", DropMethod: conductor.ByRate}
		for _, tenths := range []quantity.Area{15, 25} { // the cable and its earth
			t.DropRates = append(t.DropRates, conductor.DropRate{Size: conductor.Metric(tenths * quantity.SquareMillimeter / 10), Rate: d.Rate, Source: src})
		}
		return t
	}
	area, _ := conductor.AWG(awg).CircularMils()
	// The constant is written per thousand feet, so that it reads as printed; of
	// one circular mil a foot has a thousand times that.
	return &conductor.Table{Region: "test", DropMethod: conductor.ByConstant, Sizes: []conductor.SizeRow{{Size: conductor.AWG(awg), Area: area, Source: src}},
		Constants: []conductor.DropConstant{{Material: conductor.Copper, K: 1000 * d.K, Source: src}}}
}

// drop returns the drop that the electrical solve finds with the given gauge.
func (d workedDrop) drop(t *testing.T, awg int) float64 {
	t.Helper()
	kind, colours, back := fmt.Sprintf("%d/2 without ground", awg), []string{"black"}, "white"
	if d.Rate > 0 {
		kind, colours, back = "2.5 mm2 twin and earth", []string{"brown"}, "blue"
	}
	system := switchnet.System{Name: "test", Lines: 1, LineToNeutral: d.Supply}
	root := 1.0
	if d.Phases == 3 {
		root = math.Sqrt(3)
		kind, colours = fmt.Sprintf("%d/4", awg), []string{"black", "red", "blue"}
		system = switchnet.System{Name: "test", Lines: 3, LineToLine: d.Supply, LineToNeutral: quantity.Voltage(math.Round(float64(d.Supply) / root))}
	}
	s := newSketch(t, system)
	s.box(wiring.Panel, "panel")
	s.box(wiring.CeilingBox, "end")
	s.Feeds = []wiring.Feed{{Name: "run", Box: "panel", Poles: len(colours), Breaker: 100 * quantity.Ampere}}
	c, err := conductor.ParseCableType(kind)
	if err != nil {
		t.Fatal(err)
	}
	if c.GroundingSize().Valid() && d.Rate == 0 {
		// The problem gives one size only.
		c.Cores = c.Cores[:c.Circuit()]
	}
	s.Cables = append(s.Cables, wiring.Cable{Name: "C", Type: c, From: "panel", To: "end", Length: d.Length})
	// The problems are for a fixed current, which a motor draws.
	loads := map[switchnet.Ref]steady.Load{}
	volts := system.LineToNeutral.Volts()
	star := []string{"C." + back}
	s.land("panel", "run", "neutral", "C."+back)
	for i, colour := range colours {
		hot, name := "hot", fmt.Sprintf("load %d", i+1)
		if len(colours) > 1 {
			hot = fmt.Sprintf("hot %d", i+1)
		}
		s.land("panel", "run", hot, "C."+colour)
		s.Lights = append(s.Lights, wiring.Light{Name: name, Box: "end", Power: quantity.Watt})
		s.splice("end", "C."+colour, name+":hot")
		star = append(star, name+":neutral")
		loads[ref("end", name)] = steady.Load{Kind: steady.Motor, Power: quantity.Power(math.Round(volts * d.Current.Amperes() * float64(quantity.Watt)))}
	}
	s.splice("end", star...)
	// The problems leave breakers out.
	p, err := steady.New(s.build(), d.table(awg), &steady.Options{Breaker: quantity.Nanoohm, Coupling: steady.Coupling{None: true}, Loads: loads})
	if err != nil {
		t.Fatal(d.ID, err)
	}
	got, ok := solve(t, p, switchnet.State{}).Load(ref("end", "load 1"))
	if !ok {
		t.Fatal(d.ID, "no load")
	}
	return (volts - got.Volts.Magnitude().Volts()) * root
}

// The drop over a plain run is what package conductor computes, and what worked
// problems publish.
func TestWorkedDrops(t *testing.T) {
	text, err := os.ReadFile("testdata/drop.json")
	if err != nil {
		t.Fatal(err)
	}
	var rows []workedDrop
	if err := json.Unmarshal(text, &rows); err != nil {
		t.Fatal(err)
	}
	if len(rows) != 10 {
		t.Fatalf("%d problems, want 10", len(rows))
	}
	for _, d := range rows {
		awg := d.AWG
		if awg == 0 {
			awg = 12
		}
		drop := d.drop(t, awg)
		if d.Percent > 0 {
			limit := d.Supply.Volts() * d.Percent / 100
			if small := d.drop(t, d.Smaller); drop > limit || small <= limit {
				t.Errorf("%s: %d AWG drops %.3f V and %d AWG %.3f V; published as least within %.2f V: %d AWG", d.ID, awg, drop, d.Smaller, small, limit, awg)
			}
		} else if scale := math.Pow10(d.Decimals); math.Round(drop*scale)/scale != d.Volts {
			t.Errorf("%s: the drop is %.6f V, published %g V", d.ID, drop, d.Volts)
		}
		if d.Phases == 3 {
			continue
		}
		var exact quantity.Voltage
		table := d.table(awg)
		switch table.DropMethod {
		case conductor.ByRate:
			exact, err = conductor.DropByRate(d.Rate, d.Length, d.Current)
		case conductor.ByConstant:
			exact, err = conductor.DropByConstant(1000*d.K, table.Sizes[0].Area, 2*d.Length, d.Current)
		default:
			exact, err = conductor.DropByResistance(d.Per, 2*d.Length, d.Current)
		}
		if err != nil {
			t.Fatal(err)
		}
		// The breaker that is left is a nanoohm, the figures are whole microvolts.
		if math.Abs(drop-exact.Volts()) > 3e-6 {
			t.Errorf("%s: the drop is %.9f V here and %s by package conductor", d.ID, drop, exact)
		}
	}
}
