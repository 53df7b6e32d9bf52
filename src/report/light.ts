// Scene brightness as EV at ISO 100, from the exposure guides ANSI PH2.7-1973 and PH2.7-1986 (as merged in the table
// "Exposure value" of general encyclopedias): sand or snow in sun 16, typical scene in sun 15, hazy sun 14, cloudy
// bright 13, heavy overcast or open shade 12, skyline at sunset 12, just after sunset 9 to 11, street at night 7 to 8.
const scenes: readonly { readonly aboveEv100: number; readonly name: string }[] = [
  { aboveEv100: 15.5, name: 'sunlit sand or snow' },
  { aboveEv100: 14.5, name: 'full sun' },
  { aboveEv100: 13.5, name: 'hazy sun' },
  { aboveEv100: 12.5, name: 'a bright cloudy day' },
  { aboveEv100: 11.5, name: 'heavy overcast or open shade' },
  { aboveEv100: 8.5, name: 'the minutes around sunset' },
];

/**
 * What light of this brightness is usually like. It names a brightness, not the weather of the day.
 * @example lightLikeness(15) // 'full sun'
 */
export function lightLikeness(ev100: number): string {
  return scenes.find(({ aboveEv100 }) => ev100 >= aboveEv100)?.name ?? 'dusk or lamplight';
}
