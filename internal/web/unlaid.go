package web

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"chablon/assembly"
	"chablon/document"
	"chablon/finding"
)

// unlaidView is an assembly that cannot be laid as it is written: its layers with their fields, and
// what is missing as checks.
func (s *Server) unlaidView(ctx context.Context, st *state, doc *document.Assembly, out *outcome) (*assemblyView, error) {
	v := &assemblyView{outcome: out, State: st, Doc: doc, Address: "/assemblies/" + doc.ID, Day: st.day}
	v.Moulds, v.Sheets = moulds(st, doc), sheetMoulds(st)
	mouldID, _, _ := doc.Mould.Split()
	for i := range doc.Layers {
		l := &doc.Layers[i]
		kind, _ := assembly.KindNamed(l.Kind)
		v.Layers = append(v.Layers, layerView{
			Doc: doc, Layer: l, Placed: &assembly.Placed{Layer: assembly.Layer{ID: l.ID, Name: st.layerName(l), Kind: kind}},
			Path: l.ID, Mould: mouldID, Index: i, Fields: fieldsShown(st, doc, l, mouldID),
		})
	}
	for _, e := range st.errs {
		if e.Document == "assembly "+doc.ID {
			v.Findings = append(v.Findings, v.missing(e))
		}
	}
	if len(v.Findings) == 0 { // what it is made of has a problem
		f := finding.Finding{Code: "unlaid", Level: finding.Fault, Reason: strings.TrimSuffix(whyNot(st, doc.ID), "."), Source: "document"}
		v.Findings = append(v.Findings, findingView{Finding: f, Place: nameOf(doc)})
	}
	var err error
	v.Undo, err = s.lastChangeOf(ctx, st, []document.Document{doc}, out.Back)
	return v, err
}

// missing writes a document's problem as a check at the field, or the layer, that puts it right.
func (v *assemblyView) missing(e *document.Error) findingView {
	f := findingView{Place: e.Field, Finding: finding.Finding{Code: "unlaid", Level: finding.Fault, Source: "document"}}
	short := *e
	short.Remedy = ""
	f.Reason = strings.ToLower(strings.TrimSuffix(sentence(&short), "."))
	f.Remedy = sentenceCase(e.Remedy) + "."
	for i := range v.Layers {
		l := &v.Layers[i]
		path, ok := strings.CutPrefix(e.Field, fmt.Sprintf("layers[%d].", i))
		if !ok {
			continue
		}
		f.Place, f.Href = l.Placed.Name+", "+words(path), "#"+anchor(l.Path)
		if n := slices.IndexFunc(l.Fields, func(f field) bool { return f.Path == path }); n >= 0 {
			f.Place = l.Placed.Name + ", " + strings.ToLower(l.Fields[n].Label)
			f.Href = "#" + l.FieldID(l.Fields[n].Name)
			l.Open = l.Open || l.Fields[n].More
		}
	}
	return f
}
