package document

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write the schema file anew")

// The published file is what the program generates.
func TestSchemaFresh(t *testing.T) {
	file := filepath.Join("..", "docs", "schema", "document-1.schema.json")
	if *update {
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, Schema(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	got, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, Schema()) {
		t.Error("the schema file is stale: run go test ./document -run TestSchemaFresh -update")
	}
}

// keywords are the words of draft 2020-12 that the check below knows; another one in the
// schema would go unchecked.
var keywords = map[string]bool{
	"$schema": true, "$id": true, "$defs": true, "title": true, "description": true, "oneOf": true, "$ref": true,
	"type": true, "items": true, "minItems": true, "properties": true, "required": true, "additionalProperties": true,
	"const": true, "enum": true, "pattern": true, "minLength": true, "maxLength": true, "minimum": true, "maximum": true,
}

type schema = map[string]any

// conforms checks a value against a schema of those keywords and says what is wrong.
func conforms(root, s schema, v any, at string) error {
	for word := range s {
		if !keywords[word] {
			return fmt.Errorf("%s: unknown keyword %s", at, word)
		}
	}
	if ref, ok := s["$ref"].(string); ok {
		def, ok := root["$defs"].(schema)[strings.TrimPrefix(ref, "#/$defs/")].(schema)
		if !ok {
			return fmt.Errorf("%s: no definition %s", at, ref)
		}
		if err := conforms(root, def, v, at); err != nil {
			return err
		}
	}
	if options, ok := s["oneOf"].([]any); ok {
		var fits int
		var errs []string
		for _, o := range options {
			if err := conforms(root, o.(schema), v, at); err == nil {
				fits++
			} else {
				errs = append(errs, err.Error())
			}
		}
		if fits != 1 {
			return fmt.Errorf("%s: fits %d of oneOf: %s", at, fits, strings.Join(errs, " | "))
		}
	}
	if c, ok := s["const"]; ok && c != v {
		return fmt.Errorf("%s: %v is not %v", at, v, c)
	}
	switch want := s["type"]; want {
	case "object":
		return conformsObject(root, s, v, at)
	case "array":
		items, ok := v.([]any)
		if least, _ := s["minItems"].(float64); !ok || len(items) < int(least) {
			return fmt.Errorf("%s: no list of enough items", at)
		}
		for i, item := range items {
			if err := conforms(root, s["items"].(schema), item, fmt.Sprintf("%s[%d]", at, i)); err != nil {
				return err
			}
		}
	case "string":
		return conformsText(s, v, at)
	case "boolean":
		if _, ok := v.(bool); !ok {
			return fmt.Errorf("%s: no boolean", at)
		}
	case "number", "integer":
		x, ok := v.(float64)
		least, hasLeast := s["minimum"].(float64)
		most, hasMost := s["maximum"].(float64)
		if !ok || (want == "integer" && x != float64(int64(x))) || (hasLeast && x < least) || (hasMost && x > most) {
			return fmt.Errorf("%s: %v is no such number", at, v)
		}
	case nil:
	default:
		return fmt.Errorf("%s: unknown type %v", at, want)
	}
	return nil
}

func conformsObject(root, s schema, v any, at string) error {
	object, ok := v.(schema)
	if !ok {
		return fmt.Errorf("%s: no object", at)
	}
	required, _ := s["required"].([]any)
	for _, name := range required {
		if _, ok := object[name.(string)]; !ok {
			return fmt.Errorf("%s: %v is missing", at, name)
		}
	}
	for name, value := range object {
		p, ok := s["properties"].(schema)[name].(schema)
		if !ok && s["additionalProperties"] == false {
			return fmt.Errorf("%s: no property %s", at, name)
		}
		if err := conforms(root, p, value, at+"."+name); err != nil {
			return err
		}
	}
	return nil
}

func conformsText(s schema, v any, at string) error {
	x, ok := v.(string)
	if !ok {
		return fmt.Errorf("%s: no text", at)
	}
	if words, ok := s["enum"].([]any); ok {
		found := false
		for _, w := range words {
			found = found || w == x
		}
		if !found {
			return fmt.Errorf("%s: %q is not in %v", at, x, words)
		}
	}
	if p, ok := s["pattern"].(string); ok && !regexp.MustCompile(p).MatchString(x) {
		return fmt.Errorf("%s: %q does not match %s", at, x, p)
	}
	least, _ := s["minLength"].(float64)
	most, hasMost := s["maxLength"].(float64)
	if len(x) < int(least) || hasMost && len(x) > int(most) {
		return fmt.Errorf("%s: length of %q", at, x)
	}
	return nil
}

func loadSchema(t *testing.T) schema {
	t.Helper()
	var root schema
	if err := json.Unmarshal(Schema(), &root); err != nil {
		t.Fatal(err)
	}
	return root
}

// Documents that Parse reads conform; each mistake of form is refused by both.
func TestSchemaAgreesWithParse(t *testing.T) {
	root := loadSchema(t)
	cases := []struct {
		json string
		ok   bool
	}{
		{`{"kind":"kitchen","id":"home","room":"22 °C","confidence":0.95}`, true},
		{`[{"kind":"kitchen","id":"home"},{"kind":"day","id":"d","issued":"2026-12-05 18:00","orders":["o@2"]}]`, true},
		{`{"kind":"formula","id":"x","lines":["1 egg",{"text":"2 eggs"}],"air":{"specific_gravity":0.45},"steps":[{"id":"a","verb":"bake","active":"3 min"}]}`, true},
		{`{"kind":"price","id":"p","ingredient":"egg","pack":30,"price":4.20}`, true},
		{`{"kind":"kitchens","id":"home"}`, false},
		{`[]`, false},
		{`{"kind":"kitchen"}`, false},
		{`{"kind":"kitchen","id":"Home"}`, false},
		{`{"kind":"kitchen","id":""}`, false},
		{`{"kind":"kitchen","id":"home","rooms":1}`, false},
		{`{"kind":"kitchen","id":"home","units":"imperial"}`, false},
		{`{"kind":"kitchen","id":"home","confidence":95}`, false},
		{`{"kind":"kitchen","id":"home","equipment":[{"id":"o","kind":"oven","count":0}]}`, false},
		{`{"kind":"formula","id":"x","groups":[{"name":"a","lines":[]}]}`, false},
		{`{"kind":"formula","id":"x","whole":"yes"}`, false},
		{`{"kind":"kitchen","id":"home","schema":2}`, false},
		{`{"kind":"kitchen","id":"home","notes":null}`, false},
	}
	for _, c := range cases {
		var v any
		if err := json.Unmarshal([]byte(c.json), &v); err != nil {
			t.Fatal(err)
		}
		err := conforms(root, root, v, "$")
		if (err == nil) != c.ok {
			t.Errorf("schema, %s: %v", c.json, err)
		}
		if _, errs := Parse("x.json", []byte(c.json)); (len(errs) == 0) != c.ok {
			t.Errorf("Parse, %s: %v", c.json, errs)
		}
	}
}
