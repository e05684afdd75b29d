// Table counts how well wrong, missed and extra notes are told, over seeded takes of
// sampled instruments.
package main

import (
	"context"
	"flag"
	"fmt"
	"log"

	"footing/ladder/hearing"
	"footing/ladder/hearing/planted"
)

func main() {
	log.SetFlags(0)
	n := flag.Int("n", 240, "how many takes; every other has faults")
	seed := flag.Uint64("seed", 1, "of the first")
	all := flag.Bool("v", false, "tell each failure")
	flag.Parse()
	if err := run(*n, *seed, *all); err != nil {
		log.Fatal(err)
	}
}

func run(n int, seed uint64, all bool) error {
	rows := map[string]*planted.Figures{}
	var order []string
	for _, s := range planted.Specs(n, seed) {
		t, err := planted.Make(context.Background(), s)
		if err != nil {
			return err
		}
		for _, row := range []string{"all", "place " + string(s.Place), "articulation " + string(s.Articulation)} {
			if rows[row] == nil {
				rows[row] = &planted.Figures{}
				order = append(order, row)
			}
		}
		f := &planted.Figures{}
		if err := f.Add(s, t); err != nil {
			return err
		}
		if all {
			for _, line := range f.Failed {
				fmt.Println(line)
			}
		}
		for _, row := range []string{"all", "place " + string(s.Place), "articulation " + string(s.Articulation)} {
			rows[row].Join(*f)
		}
	}
	fmt.Println("| takes | wrong found | missed found | extra found | false in takes with faults | right takes with a fault told | unsure notes of right takes |")
	fmt.Println("| --- | --- | --- | --- | --- | --- | --- |")
	for _, row := range order {
		f := rows[row]
		share := func(k hearing.FaultKind) string { return fmt.Sprintf("%d of %d", f.Found[k], f.Planted[k]) }
		fmt.Printf("| %s: %d | %s | %s | %s | %d | %d of %d | %d of %d |\n", row, f.Takes, share(hearing.WrongNote), share(hearing.MissedNote),
			share(hearing.ExtraNote), f.False, f.FalseTakes, f.Right, f.Unsure, f.Notes)
	}
	return nil
}
