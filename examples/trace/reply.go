package main

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"example.com/switchleg/conductor/quantity"
)

// What is said of answers that answer nothing.
var (
	errNothingProposed = errors.New(`no test was proposed that this answers; "next" asks for one`)
	errNoReading       = errors.New("the test that was proposed is no live reading; answer it with a number of the list")
)

// reply is an answer to the test that was proposed.
type reply struct {
	number int              // of the answers listed, from 1; or 0 and
	volts  quantity.Voltage // what the meter showed
	sure   quantity.Ratio   // 0: wholly
}

// readReply reads an answer: a number, or volts such as 118V, and "sure 70%" if there is
// doubt. A line that does not begin with a digit is none.
func readReply(line string) (r reply, ok bool, err error) {
	words := strings.Fields(line)
	if len(words) == 0 || words[0][0] < '0' || words[0][0] > '9' {
		return reply{}, false, nil
	}
	for k, w := range words {
		if w != "sure" {
			continue
		}
		if k+1 == len(words) {
			return reply{}, true, errors.New("how sure is missing, such as: sure 70%")
		}
		if r.sure, err = quantity.ParseRatio(strings.Join(words[k+1:], " ")); err != nil {
			return reply{}, true, err
		}
		if r.sure <= 0 || r.sure > quantity.Whole {
			return reply{}, true, fmt.Errorf("%s sure: it lies above 0 %% and at most at 100 %%", r.sure)
		}
		words = words[:k]
		break
	}
	text := strings.Join(words, " ")
	if strings.HasSuffix(text, "V") {
		r.volts, err = quantity.ParseVoltage(text)
		return r, true, err
	}
	if r.number, err = strconv.Atoi(text); err != nil || r.number < 1 {
		return reply{}, true, fmt.Errorf(`%q is no answer; write the number of one, or volts such as 118V, and "sure 70%%" after it if you are not certain`, text)
	}
	return r, true, nil
}
