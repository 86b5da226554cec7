package trace

import "context"

// wrongly is how likely a report that is wrong is to say any given thing.
const wrongly = 1.0 / 3

// weigh lets an observation count, by what it is evidence of.
func (s *Session) weigh(of Observation, e evidence, sure float64) error {
	senses := 1 << s.c.f.sp.bits
	total := 0.0
	kept, err := s.kept(e)
	if err != nil {
		return err
	}
	o, made := outlet{}, []outlet(nil)
	if e.read != nil && e.ohms == nil {
		var ok bool
		if o, ok = s.outlet(of); ok {
			made = s.outlets()
		}
	}
	var alive []int
	top := 0.0
	for _, i := range s.alive {
		k := &s.c.classes[i]
		row := s.weight[i*senses : (i+1)*senses]
		most := 0.0
		for sense := range row {
			n := i*senses + sense
			if row[sense] == 0 {
				continue
			}
			fits := 1.0
			if e.class != nil {
				fits = e.class(k)
			}
			for _, x := range e.settings {
				if fits == 0 {
					break
				}
				y := x ^ sense
				if e.look != nil {
					fits *= e.look(k, y)
					continue
				}
				if p := kept[i]; p != nil {
					fits *= e.find(p.kinds[y])
					continue
				}
				f, err := s.fact(i, y)
				if err != nil {
					return err
				}
				fits *= e.read(f)
			}
			if len(made) > 0 && fits > 0 && fits < 1 {
				as, err := s.again(i, sense, o, made)
				if err != nil {
					return err
				}
				if as > 0 {
					fits = as
				}
			}
			if fits == 0 {
				s.credit[n] *= (1 - sure) * wrongly
			}
			row[sense] *= sure*fits + (1-sure)*wrongly
			total += row[sense]
			most = max(most, s.credit[n])
		}
		if most > 0 {
			alive = append(alive, i)
			top = max(top, most)
		}
	}
	s.alive, s.top = alive, top
	if total > 0 {
		for _, i := range alive {
			row := s.weight[i*senses : (i+1)*senses]
			for sense := range row {
				row[sense] /= total
			}
		}
	}
	return nil
}

// kept returns the pattern of a continuity test by class, for classes that are possible;
// nothing if it is not between two points of a station.
func (s *Session) kept(e evidence) (map[int]*pattern, error) {
	if e.ohms == nil {
		return nil, nil
	}
	n, ok := s.c.patterns.number[*e.ohms]
	if !ok {
		return nil, nil
	}
	tables, err := s.c.deadTables(context.Background(), s.alive)
	if err != nil {
		return nil, err
	}
	out := make(map[int]*pattern, len(s.alive))
	for k, i := range s.alive {
		out[i] = tables[k][e.lifted][n]
	}
	return out, nil
}

// cache keeps facts that were worked out, within limits.
type cache struct {
	readers map[int]*reader
	facts   map[[2]int]*facts
	near    map[[2]int][]uint64 // loads by point
}

// What a cache holds before it is emptied.
const (
	maxReaders = maxModels
	maxFacts   = 40000
)

// fact returns what a class shows in a true setting.
func (s *Session) fact(class, y int) (*facts, error) {
	if f := s.facts.facts[[2]int{class, y}]; f != nil {
		return f, nil
	}
	if len(s.facts.facts) >= maxFacts || s.facts.facts == nil {
		s.facts.facts = map[[2]int]*facts{}
	}
	r := s.facts.readers[class]
	if r == nil {
		if len(s.facts.readers) >= maxReaders || s.facts.readers == nil {
			s.facts.readers = map[int]*reader{}
		}
		m, err := s.c.modelOf(class)
		if err != nil {
			return nil, err
		}
		r = s.c.f.reader(m)
		s.facts.readers[class] = r
	}
	f, err := r.read(y, true)
	if err != nil {
		return nil, err
	}
	s.facts.facts[[2]int{class, y}] = &f
	return &f, nil
}
