// Packet prints the job packet of a job file: a cable schedule, a sheet for every
// box, what each control does, and sizing.
//
//	go run ./examples/packet                  the boat shed that is built in
//	go run ./examples/packet -job FILE        a job of your own
//	go run ./examples/packet -json            the same as JSON, documented in package packet
//	go run ./examples/packet -o DIR           files: packet.txt, packet.json and a sheet for each box
//
// Exit status: 0 it is printed; 1 a file is wrong, and what is wrong where is said; 2
// the program was called the wrong way.
package main

import (
	"context"
	"fmt"
	"io"

	"example.com/switchleg/internal/atomicfile"
	"example.com/switchleg/internal/program"
	"example.com/switchleg/switchnet/packet"
)

func main() { program.Main(run) }

const usage = `Usage: packet [-job FILE] [-json | -o DIR]

Prints the job packet of a job file: cable schedule, box sheets, what each
control does, sizing. Without -job it shows the boat shed that is built in.

`

func run(ctx context.Context, args []string, out, errs io.Writer) int {
	p := program.New("packet", usage, errs)
	file := p.Flags.String("job", "", "read the job from `FILE`")
	asJSON := p.Flags.Bool("json", false, "print JSON")
	dir := p.Flags.String("o", "", "write files into the folder `DIR`, made if need be")
	if status, ok := p.Parse(args); !ok {
		return status
	}
	var m program.Mistakes
	if p.Flags.NArg() > 0 {
		m.Add("", "%q is no flag; give the file with -job", p.Flags.Arg(0))
	}
	if *asJSON && *dir != "" {
		m.Add("", "give either -json or -o")
	}
	err := m.Err()
	var doc *packet.Document
	if err == nil {
		doc, err = build(ctx, *file)
	}
	if err == nil {
		err = write(doc, *asJSON, *dir, out)
	}
	if err != nil {
		return p.Fail(err)
	}
	return program.Answered
}

// build reads the job and makes its packet.
func build(ctx context.Context, name string) (*packet.Document, error) {
	f, w, err := program.WiredJob(name, "")
	if err != nil {
		return nil, err
	}
	return packet.Build(ctx, packet.Input{Title: f.Title, Intent: f.Intent, Wiring: w, Region: f.Region})
}

func write(doc *packet.Document, asJSON bool, dir string, out io.Writer) error {
	switch {
	case dir != "":
		files, err := packet.Files(doc)
		if err != nil {
			return err
		}
		var all []atomicfile.File
		for _, f := range files {
			all = append(all, atomicfile.File(f))
		}
		if err := atomicfile.WriteAll(dir, all); err != nil {
			return err
		}
		_, err = fmt.Fprintf(out, "%d files written to %s\n", len(files), dir)
		return err
	case asJSON:
		return packet.WriteJSON(out, doc)
	}
	return packet.WriteText(out, doc)
}
