package check

import (
	"errors"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/allstates"
)

// mostApart is how many lights, of which none is on the same metal as another, are asked
// which of them are lit alone: the questions grow with every one that must be dark.
const mostApart = 10

// fewLit returns lights, by number and in their order, that some state with a device in one
// of some positions lights and no others of the list, and that take less than a limit
// together, and that state; none if no state lights so few. Of more than [mostApart] lights,
// or where fewer than [litQuestions] questions do not tell, it returns none: what is feared
// is not told without a state that shows it.
func (p *Pass) fewLit(lights []switchnet.Ref, takes []int64, limit int64, given allstates.Claim) (lit []int, state *switchnet.State, err error) {
	a, err := p.Analysis()
	if err != nil {
		return nil, nil, err
	}
	if len(lights) > mostApart {
		return nil, nil, nil
	}
	asks := 0
	claims := []allstates.Claim{given}
	// search looks for a state in which of the lights from number i on those are lit that
	// leave the sum below the limit.
	var search func(i int, sum int64, states *allstates.Set) (bool, error)
	search = func(i int, sum int64, states *allstates.Set) (bool, error) {
		if i == len(lights) {
			if len(lit) == 0 {
				return false, nil
			}
			s, _ := states.Witness()
			state = &s
			return true, nil
		}
		for _, on := range []bool{true, false} {
			claim, more := allstates.LoadIs(lights[i], switchnet.Unlit, switchnet.Dim, switchnet.Faulted), sum
			if on {
				claim, more = allstates.LoadIs(lights[i], switchnet.Lit), sum+takes[i]
			}
			if more >= limit {
				continue
			}
			if asks++; asks >= litQuestions {
				return false, nil
			}
			with, err := a.Find(p.ctx, append(claims, claim)...)
			var knot *allstates.BudgetError
			if errors.As(err, &knot) {
				asks = litQuestions
				return false, nil
			}
			if err != nil {
				return false, err
			}
			if with.Empty() {
				continue
			}
			claims = append(claims, claim)
			if on {
				lit = append(lit, i)
			}
			if found, err := search(i+1, more, with); found || err != nil {
				return found, err
			}
			claims = claims[:len(claims)-1]
			if on {
				lit = lit[:len(lit)-1]
			}
		}
		return false, nil
	}
	if found, err := search(0, 0, nil); err != nil || !found {
		return nil, nil, err
	}
	return lit, state, nil
}
