import { setTimeout as sleep } from 'node:timers/promises';
import { expect, test } from 'vitest';
import { mapWithLimit, sharedBudget } from '../../src/programs/concurrency.ts';

test('mapWithLimit() keeps the order, and no more under way than its limit', async () => {
  let underWay = 0;
  let most = 0;
  const results = await mapWithLimit([30, 0, 20, 10, 5], 2, async (ms) => {
    most = Math.max(most, (underWay += 1));
    await sleep(ms);
    underWay -= 1;
    return ms + 1;
  });
  expect(results).toEqual([31, 1, 21, 11, 6]);
  expect(most).toBe(2);
});

test('sharedBudget() serves in order, and the largest share alone', async () => {
  const budget = sharedBudget(100);
  const served: string[] = [];
  const take = async (name: string, amount: number) => {
    const giveBack = await budget(amount);
    served.push(name);
    return giveBack;
  };
  const shares = [take('a', 40), take('b', 60), take('huge', 500), take('c', 10)];
  await sleep(1);
  expect(served).toEqual(['a', 'b']);
  (await shares[0]!)();
  await sleep(1);
  // What would fit waits behind who came first.
  expect(served).toEqual(['a', 'b']);
  (await shares[1]!)();
  await sleep(1);
  expect(served).toEqual(['a', 'b', 'huge']);
  const giveBack = await shares[2]!;
  giveBack();
  giveBack();
  await sleep(1);
  expect(served).toEqual(['a', 'b', 'huge', 'c']);
  await expect(Promise.race([take('d', 95), sleep(20, 'waits')])).resolves.toBe('waits');
});
