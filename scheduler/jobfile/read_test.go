package jobfile_test

import (
	"os"
	"testing"

	"gaugerod/scheduler/jobfile"
)

const everyFeature = "../../testdata/every-feature.job.yaml"

func readFile(t testing.TB, path string) []byte {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func TestReadEveryFeature(t *testing.T) {
	job, err := jobfile.Read("every-feature.job.yaml", readFile(t, everyFeature))
	if err != nil {
		t.Fatal(err)
	}
	if len(job.Tasks) != 5 {
		t.Error(len(job.Tasks))
	}
}
