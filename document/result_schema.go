package document

import (
	"encoding/json"
	"fmt"
	"reflect"
	"strings"
	"time"
)

// ResultJSONSchema returns the JSON Schema (draft 2020-12) of a Result, from its fields.
func ResultJSONSchema() []byte {
	s := resultType(reflect.TypeFor[Result]())
	s["$schema"], s["$id"], s["title"] = "https://json-schema.org/draft/2020-12/schema", "urn:chablon:plan:1", "A day as planned by Chablon"
	out, err := json.MarshalIndent(s, "", "  ")
	if err != nil {
		panic("document: " + err.Error()) // maps of strings always marshal
	}
	return append(out, '\n')
}

// resultType describes one Go type. Further keys are allowed: readers must pass over what they do
// not know.
func resultType(t reflect.Type) map[string]any {
	switch t.Kind() {
	case reflect.String:
		return map[string]any{"type": "string"}
	case reflect.Bool:
		return map[string]any{"type": "boolean"}
	case reflect.Int:
		return map[string]any{"type": "integer"}
	case reflect.Float64:
		return map[string]any{"type": "number"}
	case reflect.Slice:
		return map[string]any{"type": "array", "items": itemType(t.Elem())}
	case reflect.Map:
		return map[string]any{"type": "object", "additionalProperties": resultType(t.Elem())}
	}
	return objectType(t, func(f reflect.StructField, _ string) map[string]any { return itemType(f.Type) })
}

// objectType describes a struct by what is said of each field and its key.
func objectType(t reflect.Type, describe func(f reflect.StructField, name string) map[string]any) map[string]any {
	properties, required := map[string]any{}, []string{}
	for i := range t.NumField() {
		f := t.Field(i)
		name, options, _ := strings.Cut(f.Tag.Get("json"), ",")
		p := describe(f, name)
		if help := f.Tag.Get("help"); help != "" {
			p["description"] = help
		}
		properties[name] = p
		if options != "omitempty" {
			required = append(required, name)
		}
	}
	return map[string]any{"type": "object", "properties": properties, "required": required}
}

// itemType describes a type, a layer by reference where it stands in itself.
func itemType(t reflect.Type) map[string]any {
	if t.Kind() == reflect.Slice && t.Elem() == reflect.TypeFor[ResultLayer]() {
		return map[string]any{"type": "array", "items": layerType()}
	}
	return resultType(t)
}

// layerType describes a layer; the layers in it have the same keys.
func layerType() map[string]any {
	return objectType(reflect.TypeFor[ResultLayer](), func(f reflect.StructField, name string) map[string]any {
		if name == "layers" {
			return map[string]any{"type": "array", "items": map[string]any{"type": "object"}}
		}
		return resultType(f.Type)
	})
}

// isoDuration writes a duration as ISO 8601 has it: PT1H05M.
func isoDuration(d time.Duration) string {
	s := int(d.Round(time.Second).Seconds())
	out := "PT"
	if h := s / 3600; h > 0 {
		out += fmt.Sprintf("%dH", h)
	}
	if m := s % 3600 / 60; m > 0 {
		out += fmt.Sprintf("%dM", m)
	}
	if s%60 > 0 || out == "PT" {
		out += fmt.Sprintf("%dS", s%60)
	}
	return out
}
