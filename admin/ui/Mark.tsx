/** The mill's mark: a mortar with its pestle, two flat shapes. */
export const Mark = ({ size = 32 }: { size?: number }) => (
  <svg className="k-mark" width={size} height={size} viewBox="0 0 32 32" aria-hidden>
    <path className="k-mark-pestle" d="M20.2 1.4L24 3.2L17.5 15H12.8Z" />
    <path className="k-mark-mortar" d="M5 12H27C27 18 24 22 19.5 23.2L21.5 27H24V30H8V27H10.5L12.5 23.2C8 22 5 18 5 12Z" />
  </svg>
)

/** One woven band, 4 px high: clay, maize, lake, paper in blocks of 24, 8, 16, 8 px. The only ornament. */
export const WovenStrip = () => <div className="k-woven" aria-hidden />
