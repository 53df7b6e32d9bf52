/**
 * Looks up which stretch began last by a time. Stretches and the times asked for ascend.
 *
 * @example inEffect([{ startSeconds: 0 }, { startSeconds: 5 }])(7) // { startSeconds: 5 }
 */
export function inEffect<T extends { readonly startSeconds: number }>(
  stretches: readonly T[],
): (atSeconds: number) => T | undefined {
  let next = 0;
  return (atSeconds) => {
    while ((stretches[next]?.startSeconds ?? Infinity) <= atSeconds) next += 1;
    return stretches[next - 1];
  };
}
