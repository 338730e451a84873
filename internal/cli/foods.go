package cli

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"chablon/document"
	"chablon/ingredient"
	"chablon/ingredient/fdc"
	"chablon/unit"
)

type foods struct {
	File string `arg:"" help:"Download of FoodData Central: the zip of CSV files, or the Foundation Foods JSON."`
	Find string `help:"Only foods whose name has all of these words." placeholder:"WORDS"`
	Most int    `default:"10000" help:"Stop after so many foods."`
}

// errEnough ends the reading when as many foods are written as were asked for.
var errEnough = errors.New("enough")

// Run prints the foods as ingredient documents in YAML, to be kept beside the kitchen's own.
func (c *foods) Run(p Process) error {
	f, err := os.Open(c.File)
	if err != nil {
		return fmt.Errorf("cannot read %s: %w", c.File, err)
	}
	defer f.Close()
	words := strings.Fields(strings.ToLower(c.Find))
	written := 0
	visit := func(i ingredient.Ingredient) error {
		name := strings.ToLower(i.Name + " " + i.Description)
		for _, w := range words {
			if !strings.Contains(name, w) {
				return nil
			}
		}
		if written == c.Most {
			return errEnough
		}
		if written++; written > 1 {
			fmt.Fprintln(p.Stdout, "---")
		}
		_, err := p.Stdout.Write(document.MarshalYAML(document.FromIngredient(&i)))
		return err
	}
	var report fdc.Report
	if strings.EqualFold(filepath.Ext(c.File), ".json") {
		report, err = fdc.ReadJSON(f, visit)
	} else {
		info, statErr := f.Stat()
		if statErr != nil {
			return statErr
		}
		report, err = fdc.Read(f, info.Size(), visit)
	}
	if err != nil && !errors.Is(err, errEnough) {
		return fmt.Errorf("%s: %w", c.File, err)
	}
	for _, n := range report.Notes {
		fmt.Fprintf(p.Stderr, "%s, line %d: %s\n", n.File, n.Line, n.Text)
	}
	fmt.Fprintf(p.Stderr, "%s written. These data name no allergens: add what each contains before it is used.\n", unit.Counted(written, "food"))
	return nil
}
