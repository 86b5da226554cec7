package plan_test

import (
	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/wiring"
)

// sketch writes an intent in few words. The feed "lights" is in the first box.
type sketch struct{ intent.Intent }

func newSketch(feed string) *sketch {
	s := &sketch{intent.Intent{Supply: switchnet.SplitPhase()}}
	s.Feeds = []wiring.Feed{{Name: "lights", Box: feed, Breaker: 15 * quantity.Ampere}}
	return s
}

func (s *sketch) box(kind wiring.BoxKind, names ...string) *sketch {
	for _, n := range names {
		b := wiring.Box{Name: n, Kind: kind}
		if kind == wiring.DeviceBox {
			b.Gangs = 3
		}
		s.Boxes = append(s.Boxes, b)
	}
	return s
}

func (s *sketch) run(from, to string, feet int) *sketch {
	s.Runs = append(s.Runs, intent.Run{From: from, To: to, Length: quantity.Length(feet) * quantity.Foot})
	return s
}

// cable says which cable the last run has.
func (s *sketch) cable(name string) *sketch {
	s.Runs[len(s.Runs)-1].Cable = parsed(name)
	return s
}

// parsed returns a cable type by its name.
func parsed(name string) conductor.CableType {
	t, err := conductor.ParseCableType(name)
	if err != nil {
		panic(err)
	}
	return t
}

func (s *sketch) light(name, box string) *sketch {
	s.Lights = append(s.Lights, wiring.Light{Name: name, Box: box, Power: 10 * quantity.Watt})
	return s
}

// control is worked from places; its lights are those that bear its name or begin
// with it.
func (s *sketch) control(name string, lights []string, places ...string) *sketch {
	s.Controls = append(s.Controls, intent.Control{Name: name, Lights: lights, Places: places})
	return s
}

func (s *sketch) exempt(boxes ...string) *sketch {
	for _, b := range boxes {
		s.Exemptions = append(s.Exemptions, intent.Exemption{Box: b, By: "accessible box"})
	}
	return s
}
