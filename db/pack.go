package db

import (
	"bytes"
	"compress/flate"
	"encoding/json"
	"io"

	"gaugerod/scheduler"
	"gaugerod/scheduler/planfile"
)

// pack writes a plan as deflated JSON. Postgres would take several times as long over
// the same as jsonb, and the log of its writes would be as much longer.
func pack(plan *scheduler.Plan) ([]byte, error) {
	var b bytes.Buffer
	w, err := flate.NewWriter(&b, flate.BestSpeed)
	if err != nil {
		return nil, err
	}
	if err := planfile.Stream(w, plan); err != nil {
		return nil, err
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

func unpack(packed []byte) (*scheduler.Plan, error) {
	text, err := io.ReadAll(flate.NewReader(bytes.NewReader(packed)))
	if err != nil {
		return nil, err
	}
	var plan scheduler.Plan
	if err := json.Unmarshal(text, &plan); err != nil {
		return nil, err
	}
	return &plan, nil
}
