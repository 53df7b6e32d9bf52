interface GlanceProps {
  readonly lines: readonly (readonly [label: string, value: string | undefined])[];
}

/** Few values in two columns; what is unknown is left out. */
export function Glance({ lines }: GlanceProps) {
  return (
    <dl class="glance">
      {lines.map(
        ([label, value]) =>
          value !== undefined && (
            <div>
              <dt>{label}</dt>
              <dd>{value}</dd>
            </div>
          ),
      )}
    </dl>
  );
}
