package check

import (
	"errors"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/allstates"
)

// litQuestions is how often the states of a job are asked which lights of one device are
// lit at once.
const litQuestions = 200

// litAtOnce returns lights, by number and in their order, that take more than a limit and
// that some state lights all at once, and that state; none if no state lights so much.
// Where that is too much to find out it returns all lights, and no state: what is feared
// is then told. It asks about fewer than [litQuestions] sets of lights, each with the lit
// ones before it.
func (p *Pass) litAtOnce(lights []switchnet.Ref, takes []int64, limit int64) (lit []int, state *switchnet.State, err error) {
	a, err := p.Analysis()
	if err != nil {
		return nil, nil, err
	}
	rest := make([]int64, len(takes)+1) // what the lights from a number on take
	for i := len(takes) - 1; i >= 0; i-- {
		rest[i] = rest[i+1] + takes[i]
	}
	asks, given := 0, false
	var claims []allstates.Claim
	// search looks for lights from number i on that go with those that are lit in some
	// of the states.
	var search func(i int, sum int64, states *allstates.Set) (bool, error)
	search = func(i int, sum int64, states *allstates.Set) (bool, error) {
		switch {
		case sum > limit:
			s, _ := states.Witness()
			state = &s
			return true, nil
		case sum+rest[i] <= limit || given:
			return false, nil
		case takes[i] == 0:
			return search(i+1, sum, states)
		}
		if asks++; asks >= litQuestions {
			given = true
			return false, nil
		}
		claims, lit = append(claims, allstates.LoadIs(lights[i], switchnet.Lit)), append(lit, i)
		with, err := a.Find(p.ctx, claims...)
		var knot *allstates.BudgetError
		switch {
		case errors.As(err, &knot):
			given = true
			return false, nil
		case err != nil:
			return false, err
		case !with.Empty():
			if found, err := search(i+1, sum+takes[i], with); found || err != nil {
				return found, err
			}
		}
		claims, lit = claims[:len(claims)-1], lit[:len(lit)-1]
		return search(i+1, sum, states)
	}
	found, err := search(0, 0, nil)
	switch {
	case err != nil:
		return nil, nil, err
	case found:
		return lit, state, nil
	case !given:
		return nil, nil, nil
	}
	lit = lit[:0]
	for i := range lights {
		lit = append(lit, i)
	}
	return lit, nil, nil
}
