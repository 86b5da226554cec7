package conductor

import (
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/conductor/quantity"
)

// ParseCableType returns the make-up of a cable named in the trade's way:
//
//	14/2, 12/3, 14/4           nonmetallic-sheathed: gauge, then circuit conductors, and a bare ground
//	14/2/2                     two circuits: black, white, red, white/red, and a bare ground
//	12/2 metal-clad            metal-clad, with an insulated green ground
//	14/2 without ground        old cable
//	12/2 aluminum              old cable
//	14/2 60 C                  insulation rated otherwise than 90 C
//	1.5 mm2 twin and earth     flat, brown and blue, and a smaller bare earth
//	1.5 mm2 three-core and earth
//	1.5 mm2 twin and earth, old colours
//	loose 14 AWG 90 C black white red green
//
// Words may be joined where they make sense. The Name of the result is the
// canonical spelling, which parses to an equal value. The colours are those of
// new cable as it is sold; a particular cable found on site may differ, and then
// a program fills in a CableType of its own. Errors say what is accepted.
func ParseCableType(text string) (CableType, error) {
	if len(text) > 200 {
		return CableType{}, fmt.Errorf("cable type %q: longer than 200 characters", clip(text))
	}
	words := strings.Fields(strings.ReplaceAll(text, ",", " "))
	var c CableType
	var err error
	switch {
	case len(words) == 0:
		err = fmt.Errorf("it is empty")
	case words[0] == "loose":
		c, err = parseLoose(words[1:])
	case len(words) > 1 && words[1] == "mm2":
		c, err = parseFlat(words)
	default:
		c, err = parseGauged(words)
	}
	if err != nil {
		return CableType{}, fmt.Errorf("cable type %q: %w; write for example 14/3, 12/2 metal-clad, 14/2 without ground, "+
			"1.5 mm2 twin and earth, or loose 14 AWG 90 C black white green", clip(text), err)
	}
	return c, nil
}

const (
	cableRating = 90 * quantity.Celsius // NEC 334.112 and 330.112 for new cable
	flatRating  = 70 * quantity.Celsius // thermoplastic insulation of BS 6004 cable
)

// cableColours gives the circuit conductors of gauge-numbered cable as sold.
var cableColours = map[string][]Colour{
	"2":   {Plain(Black), Plain(White)},
	"3":   {Plain(Black), Plain(White), Plain(Red)},
	"4":   {Plain(Black), Plain(White), Plain(Red), Plain(Blue)},
	"2/2": {Plain(Black), Plain(White), Plain(Red), {White, Red}},
}

// parseGauged reads "14/3" and its modifiers.
func parseGauged(words []string) (CableType, error) {
	gaugeText, count, _ := strings.Cut(words[0], "/")
	size := parseGauge(gaugeText)
	colours, known := cableColours[count]
	ground, sold := cableGround(size)
	if !known || !sold {
		return CableType{}, fmt.Errorf("%q is no cable: a gauge (14, 12, 10, 8, 6, 4 or 2) and 2, 3, 4 or 2/2 conductors", clip(words[0]))
	}
	c := CableType{Construction: NonmetallicSheath, Material: Copper, Size: size, Rating: cableRating}
	rest, err := c.modify(words[1:])
	if err != nil {
		return CableType{}, err
	}
	grounded := true
	switch rest {
	case "", "with ground":
	case "without ground":
		grounded = false
	default:
		return CableType{}, fmt.Errorf("does not know %q", clip(rest))
	}
	for _, colour := range colours {
		c.Cores = append(c.Cores, Core{Colour: colour, Size: size})
	}
	names := []string{size.gaugeNumber() + "/" + count}
	if c.Material != Copper {
		names = append(names, c.Material.String())
		ground = size // an aluminum ground is a size larger than copper: as large as the rest
	}
	colour := Plain(Bare)
	if c.Construction == MetalClad {
		names = append(names, c.Construction.String())
		colour = Plain(Green)
	}
	if grounded {
		c.Cores = append(c.Cores, Core{Colour: colour, Size: ground, Grounding: true})
	} else {
		names = append(names, "without ground")
	}
	if c.Rating != cableRating {
		names = append(names, c.Rating.InCelsius())
	}
	c.Name = strings.Join(names, " ")
	return c, nil
}

// cableGround returns the copper ground sold in cable of the given size, which
// is the least that Table 250.122 allows behind the largest breaker the cable
// may have, and whether such cable is sold.
func cableGround(size Size) (Size, bool) {
	switch size {
	case AWG(14), AWG(12), AWG(10):
		return size, true
	case AWG(8), AWG(6):
		return AWG(10), true
	case AWG(4), AWG(2):
		return AWG(8), true
	}
	return Size{}, false
}

// modify applies the words that change the material, the construction or the
// rating, and returns the other words.
func (c *CableType) modify(words []string) (rest string, err error) {
	var others []string
	for i := 0; i < len(words); i++ {
		switch w := words[i]; {
		case w == "metal-clad" || w == "MC":
			c.Construction = MetalClad
		case w == "nonmetallic" || w == "NM":
			c.Construction = NonmetallicSheath
		case materials.also[w] != 0 || slices.Contains(materials.words, w):
			if c.Material, err = ParseMaterial(w); err != nil {
				return "", err
			}
		case w == "copper-clad" && i+1 < len(words):
			i++
			if c.Material, err = ParseMaterial(w + " " + words[i]); err != nil {
				return "", err
			}
		case i+1 < len(words) && words[i+1] == "C":
			i++
			t, err := quantity.ParseTemperature(w + " C")
			if err != nil {
				return "", err
			}
			if t <= 0 {
				return "", fmt.Errorf("an insulation rating of %s makes no sense", t)
			}
			c.Rating = t
		default:
			others = append(others, w)
		}
	}
	return strings.Join(others, " "), nil
}

// flatEarth gives the protective conductor of flat twin and earth cable by
// cross-section, in square micrometers (BS 6004 construction).
var flatEarth = map[quantity.Area]quantity.Area{
	1_000_000: 1_000_000,
	1_500_000: 1_000_000,
	2_500_000: 1_500_000,
	4_000_000: 1_500_000,
}

// flatColours gives the circuit conductors of flat cable, harmonised (2004
// onward) and old.
var flatColours = map[string][2][]Colour{
	"twin and earth":       {{Plain(Brown), Plain(Blue)}, {Plain(Red), Plain(Black)}},
	"three-core and earth": {{Plain(Brown), Plain(Black), Plain(Gray)}, {Plain(Red), Plain(Yellow), Plain(Blue)}},
}

// parseFlat reads "1.5 mm2 twin and earth" and "old colours".
func parseFlat(words []string) (CableType, error) {
	size, err := ParseSize(words[0] + " mm2")
	if err != nil {
		return CableType{}, err
	}
	earth, sold := flatEarth[size.Area()]
	if !sold {
		return CableType{}, fmt.Errorf("flat cable comes in 1, 1.5, 2.5 and 4 mm2, not %s", size)
	}
	kind := strings.Join(words[2:], " ")
	kind, old := strings.CutSuffix(kind, " old colours")
	colours, known := flatColours[kind]
	if !known {
		return CableType{}, fmt.Errorf("%q is neither twin and earth nor three-core and earth", clip(kind))
	}
	c := CableType{Construction: FlatTwinAndEarth, Material: Copper, Size: size, Rating: flatRating, Name: size.String() + " " + kind}
	era := 0
	if old {
		era = 1
		c.Name += ", old colours"
	}
	for _, colour := range colours[era] {
		c.Cores = append(c.Cores, Core{Colour: colour, Size: size})
	}
	c.Cores = append(c.Cores, Core{Colour: Plain(Bare), Size: Metric(earth), Grounding: true})
	return c, nil
}

// parseLoose reads "14 AWG 90 C black white green".
func parseLoose(words []string) (CableType, error) {
	if len(words) < 2 {
		return CableType{}, fmt.Errorf("loose conductors need a size")
	}
	size, err := ParseSize(words[0] + " " + words[1])
	if err != nil {
		return CableType{}, err
	}
	c := CableType{Material: Copper}
	rest, err := c.modify(words[2:])
	if err != nil {
		return CableType{}, err
	}
	if c.Construction != 0 {
		return CableType{}, fmt.Errorf("loose conductors have no sheath")
	}
	if c.Rating == 0 {
		return CableType{}, fmt.Errorf("loose conductors need an insulation rating such as 90 C")
	}
	var colours []Colour
	for _, w := range strings.Fields(rest) {
		colour, err := ParseColour(w)
		if err != nil {
			return CableType{}, err
		}
		colours = append(colours, colour)
	}
	c = LooseConductors(c.Material, size, c.Rating, colours...)
	return c, c.Check()
}
