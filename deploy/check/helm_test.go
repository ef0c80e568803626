package check

import (
	"bytes"
	"os"
	"reflect"
	"slices"
	"strings"
	"testing"

	"helm.sh/helm/v3/pkg/chart/loader"
	"helm.sh/helm/v3/pkg/chartutil"
	"helm.sh/helm/v3/pkg/engine"
	appsv1 "k8s.io/api/apps/v1"
	corev1 "k8s.io/api/core/v1"
	metav1 "k8s.io/apimachinery/pkg/apis/meta/v1"
	"sigs.k8s.io/yaml"
)

const chartAt = "../helm/ripwright"

// rendered gives the manifests of the chart by kind, each decoded strictly.
func rendered(t *testing.T, values string) map[string][]any {
	t.Helper()
	c, err := loader.Load(chartAt)
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Validate(); err != nil {
		t.Fatal(err)
	}
	own, err := chartutil.ReadValues([]byte(values))
	if err != nil {
		t.Fatal(err)
	}
	all, err := chartutil.ToRenderValues(c, own, chartutil.ReleaseOptions{Name: "ripwright", Namespace: "rough-mill", IsInstall: true}, nil)
	if err != nil {
		t.Fatal(err)
	}
	files, err := engine.Engine{Strict: true}.Render(c, all)
	if err != nil {
		t.Fatal(err)
	}
	out := map[string][]any{}
	for name, text := range files {
		if !strings.HasSuffix(name, ".yaml") {
			continue
		}
		for _, doc := range bytes.Split([]byte(text), []byte("\n---\n")) {
			if len(bytes.TrimSpace(doc)) == 0 {
				continue
			}
			var head metav1.TypeMeta
			if err := yaml.Unmarshal(doc, &head); err != nil {
				t.Fatalf("%s: %v\n%s", name, err, doc)
			}
			empty, known := kinds[head.APIVersion+" "+head.Kind]
			if !known {
				t.Fatalf("%s: %s %s is not a kind that this test checks", name, head.APIVersion, head.Kind)
			}
			into := empty()
			if err := yaml.UnmarshalStrict(doc, into); err != nil {
				t.Fatalf("%s: %v\n%s", name, err, doc)
			}
			out[head.Kind] = append(out[head.Kind], into)
		}
	}
	return out
}

// only gives the single manifest of a kind.
func only[T any](t *testing.T, all map[string][]any, kind string) T {
	t.Helper()
	var of T
	if len(all[kind]) != 1 {
		t.Fatalf("%d manifests are a %s", len(all[kind]), kind)
	}
	of, _ = all[kind][0].(T)
	return of
}

func environment(c *corev1.Container) map[string]string {
	all := map[string]string{}
	for _, e := range c.Env {
		all[e.Name] = e.Value
	}
	return all
}

// The chart with its default values equals the Kustomize base.
func TestChartIsTheBase(t *testing.T) {
	all := rendered(t, "{}")
	got := only[*appsv1.Deployment](t, all, "Deployment").Spec
	raw, err := os.ReadFile("../kubernetes/base/deployment.yaml")
	if err != nil {
		t.Fatal(err)
	}
	var base appsv1.Deployment
	if err := yaml.UnmarshalStrict(raw, &base); err != nil {
		t.Fatal(err)
	}
	want := base.Spec
	g, w := &got.Template.Spec.Containers[0], &want.Template.Spec.Containers[0]
	env, its := environment(g), environment(w)
	if !strings.HasSuffix(env["RIPWRIGHT_HOSTS"], "ripwright.rough-mill.svc.cluster.local") {
		t.Errorf("hosts are %q", env["RIPWRIGHT_HOSTS"])
	}
	for _, m := range []map[string]string{env, its} {
		delete(m, "RIPWRIGHT_HOSTS") // there the namespace sets it
		delete(m, "POD_NAMESPACE")
	}
	if !reflect.DeepEqual(env, its) {
		t.Errorf("the environment is %v, that of the base %v", env, its)
	}
	if g.Image != "registry.example/ripwright:unreleased" {
		t.Errorf("the image is %s", g.Image)
	}
	g.Env, g.Image, w.Env, w.Image = nil, "", nil, ""
	if !reflect.DeepEqual(g, w) {
		t.Errorf("the container is\n%+v\nthat of the base\n%+v", g, w)
	}
	if !reflect.DeepEqual(got.Template.Spec.SecurityContext, want.Template.Spec.SecurityContext) || !reflect.DeepEqual(got.Strategy, want.Strategy) ||
		*got.Template.Spec.TerminationGracePeriodSeconds != *want.Template.Spec.TerminationGracePeriodSeconds {
		t.Error("the pod is not that of the base")
	}
	if got.Replicas != nil || want.Replicas != nil {
		t.Error("a number of replicas is set beside the autoscaler; every update would reset it")
	}
	for _, kind := range []string{"HorizontalPodAutoscaler", "PodDisruptionBudget", "NetworkPolicy", "ServiceAccount", "ConfigMap"} {
		if len(all[kind]) != 1 {
			t.Errorf("%d manifests are a %s", len(all[kind]), kind)
		}
	}
	if len(all["Service"]) != 2 || len(all["ServiceMonitor"]) != 0 {
		t.Errorf("%d services, %d monitors", len(all["Service"]), len(all["ServiceMonitor"]))
	}
}

// All values that a plant can set reach the manifests.
func TestChartOfAPlant(t *testing.T) {
	all := rendered(t, `
image: {repository: mill/ripwright, tag: v1, pullSecrets: [{name: pull}]}
saws: "- name: oak\n  kerf_mm: 3\n"
settings: {longest-solve: 1s, waiting: 128, page: false}
hosts: [rip.mill.example]
tls: {secret: ripwright-tls}
tokens: {secret: ripwright-tokens}
autoscaling: {enabled: false}
replicas: 3
network: {monitoring: watch}
monitor: {enabled: true, serverName: rip.mill.example}
`)
	d := only[*appsv1.Deployment](t, all, "Deployment").Spec
	env := environment(&d.Template.Spec.Containers[0])
	for name, want := range map[string]string{
		"RIPWRIGHT_LONGEST_SOLVE": "1s", "RIPWRIGHT_WAITING": "128", "RIPWRIGHT_PAGE": "false",
		"RIPWRIGHT_TLS_CERT": "/etc/ripwright/tls/tls.crt", "RIPWRIGHT_TOKENS": "/etc/ripwright/tokens/tokens.yaml",
	} {
		if env[name] != want {
			t.Errorf("%s is %q, want %q", name, env[name], want)
		}
	}
	if _, plain := env["RIPWRIGHT_PLAINTEXT"]; plain || !strings.HasSuffix(env["RIPWRIGHT_HOSTS"], ",rip.mill.example") {
		t.Errorf("%v", env)
	}
	if *d.Replicas != 3 || len(all["HorizontalPodAutoscaler"]) != 0 || len(d.Template.Spec.Volumes) != 3 || d.Template.Spec.Containers[0].Image != "mill/ripwright:v1" {
		t.Errorf("%+v", d)
	}
	if saws := only[*corev1.ConfigMap](t, all, "ConfigMap").Data["saws.yaml"]; strings.TrimSpace(saws) != "- name: oak\n  kerf_mm: 3" {
		t.Errorf("saws are %q", saws)
	}
	if len(all["ServiceMonitor"]) != 1 || len(all["PrometheusRule"]) != 1 {
		t.Error("no monitor, no rules")
	}
}

// Files that the chart contains copies of equal their originals.
func TestChartFiles(t *testing.T) {
	for name, of := range map[string]string{"files/saws.yaml": "../saws.example.yaml", "files/rules.yaml": "../prometheus/rules.yaml"} {
		want, err := os.ReadFile(of)
		if err != nil {
			t.Fatal(err)
		}
		if strings.HasSuffix(of, "rules.yaml") {
			lines := slices.DeleteFunc(strings.SplitAfter(string(want), "\n"), func(l string) bool { return strings.HasPrefix(l, "#") })
			want = []byte(strings.Join(lines, ""))
		}
		path := chartAt + "/" + name
		if os.Getenv("RIPWRIGHT_WRITE") != "" {
			if err := os.WriteFile(path, want, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		got, err := os.ReadFile(path)
		if err != nil || !bytes.Equal(got, want) {
			t.Errorf("%s differs from %s; run this test with RIPWRIGHT_WRITE=1 (%v)", path, of, err)
		}
	}
}
