package main

import (
	"fmt"
	"io"

	"hardbars/annotate/practice"
	"hardbars/annotate/remarks"
	"hardbars/detect"
)

// onlySpot is the report with the spot of one id.
func onlySpot(r *detect.Report, id string) (*detect.Report, error) {
	if r.Spot(id) == nil {
		return nil, noSpot(id)
	}
	return r.Only(func(s *detect.Spot) bool { return s.ID == id }), nil
}

func noSpot(id string) error {
	return fmt.Errorf("there is no place with the number %s; hardbars spots --all lists them", id)
}

// printSpot tells all about one place, what the teacher says about its bars, and
// how to practise it.
func printSpot(w io.Writer, in string, r *detect.Report, s *detect.Spot, said *remarks.Remarks) {
	printHeading(w, in, r)
	how := practice.For(r, s)
	fmt.Fprintln(w, wrap(fmt.Sprintf("%s. %s, %s: %s (%s)", s.ID, barsWords(r, s), s.Hand.Name(), s.Label, s.Kind), width, ""))
	fmt.Fprintln(w, wrap(fmt.Sprintf("demand %.2f, %s", s.Demand, paceStep(r, s)), width, ""))
	fmt.Fprintln(w, wrap(s.Why, width, ""))
	printList(w, "Remarks:", said.Said(s.FirstBar, s.LastBar, s.Hand))
	fmt.Fprintf(w, "\nHow to practise it (%s):\n", how.Hands)
	for i, step := range how.Steps {
		fmt.Fprintln(w, wrap(fmt.Sprintf("%d. %s", i+1, step), width, "  "))
	}
	fmt.Fprintf(w, "%s\n\n%s\n", wrap(how.Test, width, "  "), wrap(caution, width, ""))
}
