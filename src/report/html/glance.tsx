export type Lines = readonly (readonly [label: string, value: string | undefined])[];

/** Few values in two columns; what is unknown is left out. */
export function Glance({ lines }: { readonly lines: Lines }) {
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

/** A path whose folders stand smaller before the name: the name is what is looked for. */
export function PathName({ path }: { readonly path: string }) {
  const at = path.lastIndexOf('/') + 1;
  return (
    <>
      {at > 0 && <span class="folder">{path.slice(0, at)}</span>}
      {path.slice(at)}
    </>
  );
}
