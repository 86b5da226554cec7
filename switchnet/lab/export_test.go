package lab

import (
	"context"

	"example.com/switchleg/switchnet/wiring"
)

// Opened is a wiring of which joints are to be made, for tests of what an answer is.
type Opened struct{ o *opened }

func OpenSwitches(j *Job, boxes []string) Opened { return Opened{openSwitches(j, boxes)} }
func OpenBox(j *Job, box string) Opened          { return Opened{openBox(j, box)} }

func (o Opened) Fields() []Field                         { return o.o.fields() }
func (o Opened) Key() Answer                             { return o.o.key() }
func (o Opened) Mark(a Answer) Result                    { return o.o.mark(context.Background(), a) }
func (o Opened) Wiring(a Answer) (*wiring.Wiring, error) { return o.o.wiring(a) }
