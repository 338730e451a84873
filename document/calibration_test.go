package document_test

import (
	"strings"
	"testing"
	"time"

	"chablon/document"
	"chablon/kitchen"
)

const calibrated = `kind: kitchen
id: k
equipment:
  - id: freezer
    kind: freezer
    setting: -20 °C
    transfer: 8
    calibrations:
      - {date: 2026-03-01, transfer: 11.5, transfer_low: 10, transfer_high: 13, piece: ring, readings: [{after: 4 h, temperature: -8 °C}]}
      - {date: 2026-02-01, transfer: 9, note: before it was defrosted}
`

// The newest calibration by its day is used, whatever the order; the history is all there, and what was written
// by hand stays written.
func TestNewestCalibrationIsUsed(t *testing.T) {
	t.Parallel()
	book, problems := resolveText(calibrated)
	if problems != "" {
		t.Fatal(problems)
	}
	e := book.Kitchen.Equipment[0]
	if e.Transfer != 11.5 || e.TransferLow != 10 || e.TransferHigh != 13 || len(e.Calibrations) != 2 {
		t.Errorf("used: %+v", e)
	}
	if r := e.Calibrations[0].Readings; len(r) != 1 || r[0].After != 4*time.Hour || r[0].Temperature != -8 {
		t.Errorf("readings: %+v", r)
	}
	set, _ := document.ParseFiles([]document.File{{Name: "x.yaml", Data: []byte(calibrated)}})
	k := *document.Every[*document.Kitchen](set)[0]
	before := string(document.MarshalYAML(&k))
	k.Equipment = append([]document.Equipment(nil), k.Equipment...)
	k.Equipment[0] = k.Equipment[0].Calibrated(kitchen.Calibration{
		Date: "2026-04-01", Transfer: 12.3456, Low: 11.001, High: 14, Conductivity: 0.9, ConductivityLow: 0.8, ConductivityHigh: 1.01,
		Piece: "ring", Readings: []kitchen.Reading{{After: 90 * time.Minute, Temperature: -3.14}},
	})
	text := string(document.MarshalYAML(&k))
	book, problems = resolveText(text)
	if problems != "" {
		t.Fatal(problems)
	}
	e = book.Kitchen.Equipment[0]
	if e.Transfer != 12.3 || e.TransferLow != 11 || len(e.Calibrations) != 3 || !strings.Contains(text, "transfer: 8") {
		t.Errorf("after another: %+v\n%s", e, text)
	}
	if c := e.Calibrations[2]; c.Conductivity != 0.9 || c.Readings[0].After != 90*time.Minute || c.Readings[0].Temperature != -3.1 {
		t.Errorf("kept: %+v", c)
	}
	again, _ := document.ParseFiles([]document.File{{Name: "x.yaml", Data: []byte(calibrated)}})
	if after := string(document.MarshalYAML(document.Every[*document.Kitchen](again)[0])); after != before {
		t.Errorf("the place that was calibrated was changed itself:\n%s", after)
	}
}

// Without a calibration the coefficient that was written holds.
func TestTransferWithoutCalibration(t *testing.T) {
	t.Parallel()
	book, problems := resolveText("kind: kitchen\nid: k\nequipment: [{id: f, kind: freezer, setting: -20 °C, transfer: 8}]")
	if e := book.Kitchen.Equipment[0]; problems != "" || e.Transfer != 8 || e.TransferLow != 0 {
		t.Errorf("%+v %s", e, problems)
	}
}

func TestCalibrationProblems(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]string{
		"{date: 2026-02-30, transfer: 9}":                                              `x.yaml:3:75: kitchen k, equipment[0].calibrations[0].date: found "2026-02-30": write a date such as 2026-12-05`,
		"{date: 2026-02-01, transfer: 0}":                                              "equipment[0].calibrations[0].transfer: found 0, which is not above 0",
		"{date: 2026-02-01, transfer: 9, transfer_low: 10, transfer_high: 11}":         "is not above 0, or not between its low and high",
		"{date: 2026-02-01, transfer: 9, conductivity: 2, conductivity_high: 1}":       "calibrations[0].conductivity: found 2",
		"{date: 2026-02-01, transfer: 9, conductivity: 90}":                            "conductivity",
		"{date: 2026-02-01, transfer: 9, readings: [{after: 4 h}]}":                    "temperature",
		"{date: 2026-02-01, transfer: 9, readings: [{after: 4 g, temperature: 1 °C}]}": "after",
	} {
		book, got := resolveText("kind: kitchen\nid: k\nequipment: [{id: f, kind: freezer, setting: -20 °C, calibrations: [" + text + "]}]")
		if !strings.Contains(got, want) {
			t.Errorf("%s:\n%s\nwant %s", text, got, want)
		}
		if book.Kitchen != nil && len(book.Kitchen.Equipment) > 0 && book.Kitchen.Equipment[0].Transfer > 9 {
			t.Errorf("%s is used", text)
		}
	}
}
