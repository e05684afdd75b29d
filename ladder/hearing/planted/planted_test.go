package planted

import (
	"testing"

	"footing/ladder/hearing"
)

// Of sampled instruments no right note is called a fault, and most that are planted are
// told as what they are. The figures over more takes are the table's.
func TestPlantedFaultsAreTold(t *testing.T) {
	var f Figures
	for _, s := range Specs(8, 1) {
		take, err := Make(t.Context(), s)
		if err != nil {
			t.Fatal(err)
		}
		if err := f.Add(s, take); err != nil {
			t.Fatal(err)
		}
	}
	most := f.Found[hearing.WrongNote] >= 3 && f.Found[hearing.MissedNote] >= 3 && f.Found[hearing.ExtraNote] >= 2
	if f.Right != 4 || f.FalseTakes > 0 || !most || f.Unsure*20 > f.Notes {
		t.Errorf("%+v", f)
	}
}
