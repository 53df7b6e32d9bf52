const keys = [
  ['j', 'next recording'],
  ['k', 'the one before'],
  ['o', 'open it, or close it'],
  ['f', 'only what is flagged, or everything'],
  ['t', 'to the top'],
  ['?', 'this list'],
] as const;

/** Which keys do what. The script shows it: without one there are no keys. */
export function Keys() {
  return (
    <dialog id="keys" aria-labelledby="keys-title">
      <h2 id="keys-title">Keys</h2>
      <dl>
        {keys.map(([key, what]) => (
          <div>
            <dt>
              <kbd>{key}</kbd>
            </dt>
            <dd>{what}</dd>
          </div>
        ))}
      </dl>
      <form method="dialog">
        <button>Close</button>
      </form>
    </dialog>
  );
}
