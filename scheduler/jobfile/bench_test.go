package jobfile_test

import (
	"testing"

	"gaugerod/scheduler/jobfile"
)

func BenchmarkReadDemo(b *testing.B) {
	data := readFile(b, "../../testdata/demo.job.yaml")
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		if _, err := jobfile.Read("demo.job.yaml", data); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkWriteDemo(b *testing.B) {
	job, err := jobfile.Read("demo.job.yaml", readFile(b, "../../testdata/demo.job.yaml"))
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := jobfile.Write(job); err != nil {
			b.Fatal(err)
		}
	}
}
