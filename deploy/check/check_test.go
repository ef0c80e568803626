// Package check decodes the manifests strictly into the published types, so that a
// misspelt field or a wrong type is found here. It is a separate module: the service
// needs none of its imports.
package check

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	monitoringv1 "github.com/prometheus-operator/prometheus-operator/pkg/apis/monitoring/v1"
	appsv1 "k8s.io/api/apps/v1"
	autoscalingv2 "k8s.io/api/autoscaling/v2"
	corev1 "k8s.io/api/core/v1"
	networkingv1 "k8s.io/api/networking/v1"
	policyv1 "k8s.io/api/policy/v1"
	metav1 "k8s.io/apimachinery/pkg/apis/meta/v1"
	"sigs.k8s.io/yaml"
)

var kinds = map[string]func() any{
	"apps/v1 Deployment":                      func() any { return &appsv1.Deployment{} },
	"v1 Service":                              func() any { return &corev1.Service{} },
	"v1 ServiceAccount":                       func() any { return &corev1.ServiceAccount{} },
	"autoscaling/v2 HorizontalPodAutoscaler":  func() any { return &autoscalingv2.HorizontalPodAutoscaler{} },
	"policy/v1 PodDisruptionBudget":           func() any { return &policyv1.PodDisruptionBudget{} },
	"v1 ConfigMap":                            func() any { return &corev1.ConfigMap{} },
	"networking.k8s.io/v1 NetworkPolicy":      func() any { return &networkingv1.NetworkPolicy{} },
	"monitoring.coreos.com/v1 ServiceMonitor": func() any { return &monitoringv1.ServiceMonitor{} },
	"monitoring.coreos.com/v1 PrometheusRule": func() any { return &monitoringv1.PrometheusRule{} },
}

func TestManifests(t *testing.T) {
	files, err := filepath.Glob("../kubernetes/*/*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	more, _ := filepath.Glob("../kubernetes/*/*/*.yaml")
	// The output of kustomize, if it was run.
	if dir := os.Getenv("RIPWRIGHT_MANIFESTS"); dir != "" {
		built, _ := filepath.Glob(filepath.Join(dir, "*", "all.yaml"))
		if len(built) == 0 {
			t.Errorf("%s holds nothing", dir)
		}
		more = append(more, built...)
	}
	seen := map[string]bool{}
	for _, f := range append(files, more...) {
		if name := filepath.Base(f); name == "kustomization.yaml" || name == "saws.yaml" {
			continue
		}
		raw, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		for _, doc := range bytes.Split(raw, []byte("\n---\n")) {
			var head metav1.TypeMeta
			if err := yaml.Unmarshal(doc, &head); err != nil {
				t.Errorf("%s: %v", f, err)
				continue
			}
			kind := head.APIVersion + " " + head.Kind
			empty, known := kinds[kind]
			if !known {
				t.Errorf("%s: %q is not a kind that this test checks", f, kind)
				continue
			}
			seen[kind] = true
			if err := yaml.UnmarshalStrict(doc, empty()); err != nil {
				t.Errorf("%s: %v", f, err)
			}
		}
	}
	for kind := range kinds {
		if !seen[kind] && kind != "v1 ConfigMap" { // kustomize makes those
			t.Errorf("no manifest is a %s", kind)
		}
	}
	// The check itself finds a misspelt field.
	if yaml.UnmarshalStrict([]byte("spec: {replica: 2}"), &appsv1.Deployment{}) == nil {
		t.Error("a misspelt field passes")
	}
}
