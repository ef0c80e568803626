{{- define "ripwright.labels" -}}
app.kubernetes.io/name: ripwright
app.kubernetes.io/instance: {{ .Release.Name }}
{{- end }}
{{- define "ripwright.full" -}}
{{ include "ripwright.labels" . }}
app.kubernetes.io/version: {{ .Chart.AppVersion | quote }}
app.kubernetes.io/managed-by: {{ .Release.Service }}
helm.sh/chart: {{ printf "%s-%s" .Chart.Name .Chart.Version | replace "+" "_" }}
{{- end }}
{{- define "ripwright.saws" -}}
{{ .Values.saws | default (.Files.Get "files/saws.yaml") }}
{{- end }}
