package check

import (
	"os"
	"regexp"
	"testing"

	"sigs.k8s.io/yaml"
)

// Every service of the compose file restarts by itself, and every image has a fixed
// version, not latest.
func TestCompose(t *testing.T) {
	raw, err := os.ReadFile("../compose/compose.yaml")
	if err != nil {
		t.Fatal(err)
	}
	var file struct {
		Services map[string]struct {
			Image, Restart string
			Build          map[string]any
		}
	}
	if err := yaml.Unmarshal(raw, &file); err != nil {
		t.Fatal(err)
	}
	pinned := regexp.MustCompile(`^[a-z0-9./-]+:v?\d+\.\d+\.\d+@sha256:[0-9a-f]{64}$`)
	for name, s := range file.Services {
		if s.Restart != "unless-stopped" {
			t.Errorf("%s is not restarted: restart is %q", name, s.Restart)
		}
		if s.Build == nil && !pinned.MatchString(s.Image) {
			t.Errorf("%s has the image %q, which is not pinned", name, s.Image)
		}
	}
	if len(file.Services) < 3 {
		t.Errorf("%d services", len(file.Services))
	}
}
