package strict_test

import (
	"fmt"

	"example.com/switchleg/internal/strict"
)

func Example() {
	doc, err := strict.Parse("shed.yaml", []byte("title: Boat shed\nboxs:\n  - {name: slip-door, gangs: two}\n"), strict.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	m := doc.Root().Map("a job")
	title, _ := m.Need("title", "the title of the job").Text("the title of the job")
	fmt.Println(title)
	for _, n := range m.Get("boxes").List("a list of boxes") {
		n.Map("a box")
	}
	m.Done()
	fmt.Println(doc.Err())
	// Output:
	// Boat shed
	// shed.yaml:2:1: "boxs" is not a key of a job; expected title or boxes; did you mean "boxes"?
	//      2 | boxs:
	//        | ^
}

func ExampleDoc_Format() {
	doc, err := strict.Parse("shed.yaml", []byte(`title:   "Boat shed"
boxes:          # where the switches are
- {name: slip-door,gangs: 2}
`), strict.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	out, err := doc.Format()
	fmt.Print(string(out), err)
	// Output:
	// title: Boat shed
	//
	// boxes: # where the switches are
	//   - {name: slip-door, gangs: 2}
	// <nil>
}

func ExampleSuggest() {
	fmt.Println(strict.Suggest("boxs", []string{"lights", "boxes"}))
	// Output: boxes
}
