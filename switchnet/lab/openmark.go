package lab

import (
	"context"
	"fmt"
	"maps"
	"math"
	"math/big"
	"slices"
	"strings"

	"example.com/switchleg/switchnet/wiring"
)

// ways is how many ways there are to place the slots, those that come to the same
// counted once: of the symmetries of a switch, and of splices of one size. It is
// math.MaxInt32 where there are more.
func (o *opened) ways() int {
	byBox := map[string][]slot{}
	for _, s := range o.slots {
		if s.key != choiceNothing {
			byBox[s.box] = append(byBox[s.box], s)
		}
	}
	all, same := big.NewInt(1), big.NewInt(1)
	factorial := func(n int) *big.Int { return new(big.Int).MulRange(1, int64(n)) }
	for box, list := range byBox {
		all.Mul(all, factorial(len(list)))
		size := map[string]int{}
		for _, s := range list {
			if strings.HasPrefix(s.key, "splice ") || s.key == choiceCap {
				size[s.key]++
			}
		}
		alike := map[int]int{}
		for k, n := range size {
			same.Mul(same, factorial(n))
			if k != choiceCap {
				alike[n]++
			}
		}
		for _, n := range alike {
			same.Mul(same, factorial(n))
		}
		for _, d := range o.spec.Devices {
			if d.Box == box && len(d.Kind.Positions) > 1 && slices.ContainsFunc(o.screws[box], func(s screw) bool { return s.device == d.Name }) {
				same.Mul(same, big.NewInt(int64(len(symmetries(d.Kind)))))
			}
		}
	}
	if all.Div(all, same); all.IsInt64() && all.Int64() < math.MaxInt32 {
		return max(1, int(all.Int64()))
	}
	return math.MaxInt32
}

// mark marks an answer: all marks for a wiring that Compare finds nothing in, and
// otherwise those of the joints that are as in the key, or as in the key with the
// screws of a switch exchanged so that it comes to the same.
func (o *opened) mark(ctx context.Context, a Answer) Result {
	fields := o.fields()
	right := o.nearest(a)
	why := ""
	w, err := o.wiring(a)
	if err == nil {
		var diff []string
		if diff, err = o.compare(ctx, w); len(diff) > 0 {
			why = diff[0]
		}
	}
	if err != nil {
		why = "It cannot be wired so: " + err.Error()
	}
	r := score(fields, a, func(f Field, answer string) string {
		if why == "" || answer == right[f.ID] {
			return ""
		}
		return fmt.Sprintf("You say %s. Like the rest of your answer, it would have to be %s.", answer, right[f.ID])
	})
	if why == "" {
		return r
	}
	if len(r.Lost) == 0 {
		// Each is as in some right answer, and together they are not.
		r.Lost, r.Points = []Loss{{Field: fields[0].ID, Points: fields[0].Points}}, r.Of-fields[0].Points
	}
	r.Lost[0].Why = strings.TrimSpace(r.Lost[0].Why + " As you have it: " + why)
	return r
}

func (o *opened) compare(ctx context.Context, w *wiring.Wiring) ([]string, error) {
	g, err := o.judge()
	if err != nil {
		return nil, err
	}
	return g.Compare(ctx, w)
}

// nearest returns the right answer that has most in common with an answer.
func (o *opened) nearest(a Answer) Answer {
	out := o.key()
	said := map[string]string{}
	for _, s := range o.slots {
		said[s.field.ID], _ = s.field.Choice(a[s.field.ID])
	}
	for _, d := range o.spec.Devices {
		var best map[string]string
		most := -1
		for _, m := range symmetries(d.Kind) {
			n := 0
			for _, s := range o.slots {
				for from, to := range m {
					if s.box == d.Box && s.key == (screw{d.Name, from}).String() && said[s.field.ID] == (screw{d.Name, to}).String() {
						n++
					}
				}
			}
			if n > most {
				best, most = m, n
			}
		}
		for _, s := range o.slots {
			for from, to := range best {
				if s.box == d.Box && s.key == (screw{d.Name, from}).String() {
					out[s.field.ID] = screw{d.Name, to}.String()
				}
			}
		}
	}
	for _, box := range slices.Sorted(maps.Keys(o.splices)) {
		o.nearestSplices(box, said, out)
	}
	return out
}

// nearestSplices gives the splices of the key the letters of the answer's, those that
// share most first.
func (o *opened) nearestSplices(box string, said map[string]string, out Answer) {
	n := o.splices[box]
	shared := make([][]int, n)
	for k := range shared {
		shared[k] = make([]int, n)
		for i := range n {
			for _, s := range o.slots {
				if s.key == choiceSplice(k) && said[s.field.ID] == choiceSplice(i) {
					shared[k][i]++
				}
			}
		}
	}
	of := map[int]int{}
	taken := map[int]bool{}
	for len(of) < n {
		bk, bi, most := 0, 0, -1
		for k := range n {
			for i := range n {
				if _, done := of[k]; !done && !taken[i] && shared[k][i] > most {
					bk, bi, most = k, i, shared[k][i]
				}
			}
		}
		of[bk], taken[bi] = bi, true
	}
	for _, s := range o.slots {
		for k, i := range of {
			if s.box == box && s.key == choiceSplice(k) {
				out[s.field.ID] = choiceSplice(i)
			}
		}
	}
}
