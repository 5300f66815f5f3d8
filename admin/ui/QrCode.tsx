import { drawingSVG, qrcode, type DrawingContext } from 'bwip-js/generic'

/** White around the code, in modules (ISO/IEC 18004). */
const QUIET = 4
/** The library draws a module two units wide. */
const UNITS_A_MODULE = 2

/** A QR code as lines of the page, sharp at any size of print; error correction M as on the PDF. `label` is what it holds, in words. */
const QrCode = ({ text, label }: { text: string; label: string }) => {
  // the typing knows only what every code has; the level of correction is a QR code's own
  const asked = { bcid: 'qrcode', text, eclevel: 'M', scale: 1 }
  const drawn = qrcode<string>(asked, drawingSVG() as DrawingContext<string>)
  const size = Number(/viewBox="0 0 (\d+) /.exec(drawn)?.[1])
  const outlines = [...drawn.matchAll(/ d="([^"]*)"/g)].map(([, path]) => path).join('')
  const white = QUIET * UNITS_A_MODULE
  return (
    <svg
      className="k-qr"
      viewBox={`${-white} ${-white} ${size + 2 * white} ${size + 2 * white}`}
      role="img"
      aria-label={label}
      shapeRendering="crispEdges"
    >
      <path d={outlines} fillRule="evenodd" />
    </svg>
  )
}

export default QrCode
