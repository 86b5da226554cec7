package plan

import (
	"slices"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/rules"
)

// palette is what a region says about colours of insulation, for planning.
type palette struct {
	line, neutral []conductor.Colour
	cores         []conductor.Colour // of a cable of three cores, to be marked for their use
	never         []conductor.Colour
	ground        conductor.Colour // of a loose grounding conductor
	// remark and remarkReturn report whether a neutral's colour may be re-marked as
	// a line in a cable, and whether the rules say that it may then be the return from
	// a switch; what they do not say is not taken for allowed.
	remark, remarkReturn bool
	known                bool
}

// paletteOf reads the colours in force in a region. A region without colours keeps
// white and gray for the neutral and re-marks nothing, which no region forbids.
func paletteOf(w *rules.Wiring) palette {
	p := palette{never: w.NeverLine.Colours, ground: conductor.Plain(conductor.Green)}
	for i := range w.Schemes {
		s := &w.Schemes[i]
		if !s.Until.IsZero() {
			continue
		}
		p.known = true
		get := func(f rules.Function) []conductor.Colour { pal, _ := s.Palette(f); return pal.Colours }
		// A neutral's colour with a stripe is what cables of two circuits have for the second
		// neutral. Where it may be a line too, it is here all the same marked as one.
		p.neutral = get(rules.Neutral)
		var second []conductor.Colour
		for _, c := range get(rules.Line) {
			if slices.ContainsFunc(p.neutral, func(n conductor.Colour) bool { return c.Stripe != 0 && conductor.Plain(c.Main) == n }) {
				second = append(second, c)
				continue
			}
			p.line = append(p.line, c)
		}
		p.neutral = append(slices.Clone(p.neutral), second...)
		if i := slices.IndexFunc(get(rules.Protective), func(c conductor.Colour) bool { return c.Main != conductor.Bare }); i >= 0 {
			p.ground = get(rules.Protective)[i]
		}
		for _, f := range []rules.Function{rules.Core1, rules.Core2, rules.Core3} {
			p.cores = append(p.cores, get(f)...)
		}
		break
	}
	if !p.known {
		for _, h := range []conductor.Hue{conductor.Black, conductor.Red, conductor.Blue, conductor.Brown, conductor.Orange, conductor.Yellow, conductor.Purple, conductor.Pink} {
			p.line = append(p.line, conductor.Plain(h))
		}
		p.neutral = []conductor.Colour{conductor.Plain(conductor.White), conductor.Plain(conductor.Gray)}
		p.never = append(slices.Clone(p.neutral), conductor.Plain(conductor.Green), conductor.Plain(conductor.Bare), conductor.Colour{Main: conductor.Green, Stripe: conductor.Yellow})
		return p
	}
	says := func(n rules.Name) rules.Says { r, _ := w.Rule(n); return r.Says }
	p.remark = says(rules.RemarkedWhiteAsLine) == rules.Permitted
	p.remarkReturn = p.remark && says(rules.RemarkedWhiteAsReturn) == rules.Permitted
	return p
}

// use says what a core of a cable can be.
type use uint8

const (
	useNothing use = iota // a grounding conductor, or a colour with no lawful use
	useLine               // as it is
	useNeutral            // as it is, or re-marked as a line where that is allowed
	useEither             // marked at both ends for what it is
)

// uses returns what each core of a cable can be.
func (p *palette) uses(t *conductor.CableType) []use {
	out := make([]use, len(t.Cores))
	for i, c := range t.Cores {
		switch {
		case c.Grounding || !c.Insulated():
		case slices.Contains(p.neutral, c.Colour):
			out[i] = useNeutral
		case slices.Contains(p.line, c.Colour) || p.striped(c.Colour):
			out[i] = useLine
		case t.Circuit() >= 3 && slices.Contains(p.cores, c.Colour):
			out[i] = useEither
		}
	}
	return out
}

// striped reports whether a colour is a line colour told apart by a stripe that no
// line is forbidden.
func (p *palette) striped(c conductor.Colour) bool {
	return c.Stripe != 0 && slices.Contains(p.line, conductor.Plain(c.Main)) && !slices.Contains(p.never, conductor.Plain(c.Stripe))
}

// loose returns colours for the conductors of a raceway, the neutral's first, then
// those of the lines, each another. Beyond the plain colours of the region, lines
// are told apart by a stripe.
func (p *palette) loose(neutrals, lines int) ([]conductor.Colour, bool) {
	if neutrals > len(p.neutral) || len(p.line) == 0 {
		return nil, false
	}
	out := slices.Clone(p.neutral[:neutrals])
	out = append(out, p.line[:min(lines, len(p.line))]...)
	for _, main := range p.line {
		for stripe := conductor.Black; stripe <= conductor.Pink && len(out) < neutrals+lines; stripe++ {
			c := conductor.Colour{Main: main.Main, Stripe: stripe}
			if main.Stripe == 0 && c.Valid() && p.striped(c) && !slices.Contains(out, c) {
				out = append(out, c)
			}
		}
	}
	return out, len(out) == neutrals+lines
}

// role is what a conductor is for.
type role uint8

const (
	roleHot role = iota + 1
	roleLeg
	roleCommon
	roleTraveler
	roleSpare
	roleNeutral
)

// assign gives each conductor, by its role, a core of the cable, and reports the
// cores that must be marked and as what; as the zero colour, if as a line and on a core
// of a neutral's colour: which one is chosen for the whole plan. Roles are taken in the order hot, leg,
// common, traveler, spare, and of one role in the order given; cores in the order of
// the cable. What does not fit is false.
func (p *palette) assign(t *conductor.CableType, roles []role) (core []int, mark map[int]conductor.Colour, ok bool) {
	kinds := p.uses(t)
	free := func(want use) int {
		return slices.Index(kinds, want)
	}
	core, mark = make([]int, len(roles)), map[int]conductor.Colour{}
	take := func(i, c int) { core[i] = c; kinds[c] = useNothing }
	var lines, spares []int
	for _, r := range []role{roleHot, roleLeg, roleCommon, roleTraveler} {
		for i := range roles {
			if roles[i] == r {
				lines = append(lines, i)
			}
		}
	}
	for i, r := range roles {
		switch r {
		case roleSpare:
			spares = append(spares, i)
		case roleNeutral:
			if c := free(useNeutral); c >= 0 {
				take(i, c)
			} else if c := free(useEither); c >= 0 && len(p.neutral) > 0 {
				take(i, c)
				mark[c] = p.neutral[0]
			} else {
				return nil, nil, false
			}
		}
	}
	plain := 0
	for _, k := range kinds {
		if k == useLine || k == useEither {
			plain++
		}
	}
	// What the plain cores do not hold goes on cores of the neutral's colour: the
	// hot before a traveler, the last traveler before the first. Where a leg may, it
	// goes before all others, as the trade has it there, and otherwise never.
	white := map[int]bool{}
	first := []role{roleHot, roleTraveler, roleCommon}
	if p.remarkReturn {
		first = slices.Insert(first, 0, roleLeg)
	}
	for _, r := range first {
		for k := len(lines) - 1; k >= 0 && len(lines)-len(white) > plain; k-- {
			if roles[lines[k]] == r {
				white[lines[k]] = true
			}
		}
	}
	if len(white) > 0 && (!p.remark || t.Construction == conductor.Loose) || len(lines)-len(white) > plain {
		return nil, nil, false
	}
	for _, i := range lines {
		c := -1
		if white[i] {
			if c = free(useNeutral); c < 0 {
				return nil, nil, false
			}
			mark[c] = conductor.Colour{}
		} else if c = free(useLine); c < 0 {
			c = free(useEither)
			mark[c] = p.line[0]
		}
		take(i, c)
	}
	for _, i := range spares {
		c := slices.IndexFunc(kinds, func(k use) bool { return k != useNothing })
		if c < 0 {
			return nil, nil, false
		}
		take(i, c)
	}
	return core, mark, true
}
