// Fill says whether what is in a box fits it, by the box-fill rules of a region.
//
//	go run ./examples/fill -region us-2023 -box "3x2x3.5 device" -conductors 14x7 -grounds 14x3 -devices 1 -clamps
//	go run ./examples/fill -region us-2023 -volume "20.3 in3" -conductors 12x6 -grounds 12x3 -devices 1 -explain
//	go run ./examples/fill -region ca -conductors 14x7 -connectors 14x2 -devices 1 -depth "2 cm"
//	go run ./examples/fill -job shed.yaml -box slip-door -explain
//
// A list such as 14x4,12x2 means four conductors of 14 AWG and two of 12 AWG; a
// size of another system is written out, as in "2.5 mm2 x 3". Volumes and lengths
// carry their unit. Without -box and -volume it says how much volume is needed.
// When the box is too small it says what would help, each remedy worked out anew.
//
//	-explain   every figure, with the section it comes from
//	-pick      the boxes of the region's stock that it fits into, smallest first
//	-amend F   lay the amendments of a rule file over the region
//	-smaller   12=14: where the circuit allows it, 14 AWG may stand in for 12 AWG
//	-json      one JSON object, experimental until a release: region (id, title,
//	           cautions), box (its name in the job file), notes (what the job file
//	           leaves open), result (region, column, status, lines, room,
//	           allowances, required, available, spare, other_column, refusals,
//	           cautions: those of boxfill.Result), picks (box, status, available,
//	           spare, cautions), remedies (steps, frees, and how the box stands
//	           afterwards: status, required, available, spare, cautions) and
//	           before_work, the cautions for work on wiring
//
// Exit status: 0 it fits, or no box was named; 1 a file or the question itself is
// wrong; 2 the program was called the wrong way; 3 it does not fit; 4 there is no
// answer, because the volume of the box is not known, or the region refuses a figure
// or has no such rule.
package main

import (
	"context"
	"flag"
	"io"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/internal/program"
)

func main() { program.Main(run) }

const usage = `Usage: fill -region ID [-box TYPE | -volume V] CONTENTS [-explain] [-pick] [-json]
       fill -job FILE -box NAME [-explain] [-pick] [-json]

Says whether what is in a box fits it, by the box-fill rules of a region. Lists
are sizes and counts: 14x4,12x2 is four of 14 AWG and two of 12 AWG.
Exit status: 0 it fits, 3 it does not, 4 there is no answer, 1 or 2 the question
or the call is wrong.

`

// flagged are the flags as they were written.
type flagged struct {
	region, amend, job, box, volume                             string
	ganged, gangs                                               int
	plasterRing, extensionRing, cover, barrier, share           string
	conductors, passing, looped, pigtails, fixtureWires         string
	canopy, clamps                                              bool
	grounds, insulatedGrounds, isolatedGrounds, canopyGrounds   string
	fittings, devices, wide, depth, blocks, connectors, smaller string
	explain, pick, json                                         bool
}

func (f *flagged) define(flags *flag.FlagSet) {
	flags.StringVar(&f.region, "region", "", "rules of the region `ID`, such as us-2023")
	flags.StringVar(&f.amend, "amend", "", "lay the rule file `FILE` over the region")
	flags.StringVar(&f.job, "job", "", "take the box from the job in `FILE`")
	flags.StringVar(&f.box, "box", "", "box `TYPE` by name or by shape and inches, \"3x2x3.5 device\"; with -job the name of a box")
	flags.StringVar(&f.volume, "volume", "", "volume `V` marked on the box, such as \"20.3 in3\"")
	flags.IntVar(&f.ganged, "ganged", 1, "`N` boxes of that type or volume ganged together")
	flags.IntVar(&f.gangs, "gangs", 0, "device gangs `N` of the box; 0 leaves it to the type")
	flags.StringVar(&f.plasterRing, "plaster-ring", "", "plaster ring marked `V`, or \"unmarked\"")
	flags.StringVar(&f.extensionRing, "extension-ring", "", "extension ring marked `V`, of a box type, or \"unmarked\"")
	flags.StringVar(&f.cover, "domed-cover", "", "domed cover marked `V`, or \"unmarked\"")
	flags.StringVar(&f.barrier, "barrier", "", "barrier of `KIND` metal or nonmetallic")
	flags.StringVar(&f.share, "share", "", "share of the box on this side of the barrier, `\"1 of 2\"`")
	flags.StringVar(&f.conductors, "conductors", "", "`LIST` of insulated conductors that enter and end here, spliced or landed")
	flags.StringVar(&f.passing, "passing", "", "`LIST` of conductors that pass unbroken, each counted once")
	flags.StringVar(&f.looped, "looped", "", "`LIST` of conductors that pass unbroken with a loop as long as the region counts double")
	flags.StringVar(&f.pigtails, "pigtails", "", "`LIST` of conductors of which no part leaves the box")
	flags.StringVar(&f.fixtureWires, "fixture-wires", "", "`LIST` of wires of a luminaire on the box")
	flags.BoolVar(&f.canopy, "canopy", false, "the luminaire has a domed canopy")
	flags.StringVar(&f.grounds, "grounds", "", "`LIST` of bare grounding conductors")
	flags.StringVar(&f.insulatedGrounds, "insulated-grounds", "", "`LIST` of insulated grounding conductors")
	flags.StringVar(&f.isolatedGrounds, "isolated-grounds", "", "`LIST` of the separate set of isolated grounding conductors")
	flags.StringVar(&f.canopyGrounds, "canopy-grounds", "", "`LIST` of grounding conductors of the luminaire")
	flags.BoolVar(&f.clamps, "clamps", false, "there are cable clamps inside the box")
	flags.StringVar(&f.fittings, "fittings", "", "support fittings, `LIST` such as stud,hickey")
	flags.StringVar(&f.devices, "devices", "", "devices, a number or a `LIST` by the largest conductor landed on each")
	flags.StringVar(&f.wide, "wide", "", "wide devices, `LIST` of largest conductor x gangs: 10x2")
	flags.StringVar(&f.depth, "depth", "", "depth `L` of every device from strap to back, such as \"4.1 cm\"")
	flags.StringVar(&f.blocks, "blocks", "", "terminal blocks, `LIST` by the largest conductor on each")
	flags.StringVar(&f.connectors, "connectors", "", "wire connectors with insulating caps, `LIST` by the largest conductor under them")
	flags.StringVar(&f.smaller, "smaller", "", "sizes that may stand in for others where the circuit allows it, `LIST` such as 12=14")
	flags.BoolVar(&f.explain, "explain", false, "print every figure with its section")
	flags.BoolVar(&f.pick, "pick", false, "list the boxes of the region's stock that it fits into")
	flags.BoolVar(&f.json, "json", false, "print JSON")
}

func run(_ context.Context, args []string, out, errs io.Writer) int {
	p := program.New("fill", usage, errs)
	var f flagged
	f.define(p.Flags)
	if status, ok := p.Parse(args); !ok {
		return status
	}
	q, err := ask(&f, p)
	if err != nil {
		return p.Fail(err)
	}
	a, err := answer(q, &f)
	if err == nil {
		err = a.write(out, &f)
	}
	if err != nil {
		return p.Fail(q.inFlags(err))
	}
	switch status := a.Result.Status; {
	case status.OK(), status == boxfill.VolumeUnknown && !q.named:
		return program.Answered
	case status == boxfill.DoesNotFit:
		return program.Fails
	}
	return program.NoAnswer
}
