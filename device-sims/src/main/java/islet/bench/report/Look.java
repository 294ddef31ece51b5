package islet.bench.report;

/**
 * How pages and drawings look. Grey while all is well, colour only for what needs a person (the
 * idea of ISA-101); every distinction is also made by a word, a dash or a hatch. Greys and colours
 * of text keep at least 4.5 : 1 against their ground (WCAG 2, level AA).
 */
final class Look {

  /** Width of every chart, in units of its view box. */
  static final double WIDTH = 1080;

  /** Left edge of the plots, so that all charts share one time axis. */
  static final double LEFT = 76;

  /** Width of the plots; what is left on the right is for the labels at the lines' ends. */
  static final double PLOT = 800;

  /** Right edge of the plots. */
  static final double RIGHT = LEFT + PLOT;

  /** Styles of drawings. */
  static final String DRAWING =
      """
      svg{font:16px system-ui,sans-serif;fill:#1b1f24}
      .paper{fill:#fff}
      .small{font-size:14px;fill:#4a525b}
      .strong{font-weight:700}
      .middle{text-anchor:middle}
      .end{text-anchor:end}
      .halo{paint-order:stroke;stroke:#fff;stroke-width:5px;stroke-linejoin:round}
      .grid{stroke:#e2e5e9;fill:none}
      .axis{stroke:#8a939d;fill:none}
      .away{fill:#f0f2f4}
      .hair{stroke:#1b1f24;stroke-width:1;fill:none}
      .wire{stroke:#1b1f24;stroke-width:2;fill:none;stroke-linecap:round;stroke-linejoin:round}
      .bar{stroke:#1b1f24;stroke-width:7;fill:none}
      .box{stroke:#1b1f24;stroke-width:2;fill:#fff}
      .dot,.tip{fill:#1b1f24}
      .frame{stroke:#8a939d;stroke-dasharray:3 5;fill:none}
      .l0,.l1,.l2,.l3,.l4,.l5{fill:none;stroke:#1b1f24;stroke-linejoin:round}
      .l0{stroke-width:2.4}
      .l1{stroke-width:1.8;stroke:#5b646e}
      .l2{stroke-width:2;stroke-dasharray:9 5}
      .l3{stroke-width:2.2;stroke-dasharray:2 4}
      .l4{stroke-width:1.4;stroke:#5b646e;stroke-dasharray:14 4 2 4}
      .l5{stroke-width:1.4;stroke:#5b646e;stroke-dasharray:5 4}
      .faint{opacity:.5}
      .f-paper{fill:#fff}
      .f-light{fill:#e6e9ec}
      .f-mid{fill:#b9c0c8}
      .f-rise{fill:url(#rise)}
      .f-fall{fill:url(#fall)}
      .f-dots{fill:url(#dots)}
      .f-bars{fill:url(#bars)}
      .f-held{fill:url(#held)}
      .f-dark{fill:#8a1c1c}
      .edge{fill:none;stroke:#6b747e;stroke-width:1}
      .alert{stroke:#a31515;stroke-width:2;fill:none;stroke-dasharray:6 3}
      .alert-fill{fill:#a31515;stroke:#fff;stroke-width:1.5}
      .alert-text{fill:#a31515;font-weight:700}
      .inverse{fill:#fff}
      """;

  /** Hatches; once in a page, or once in a drawing that stands alone. */
  static final String PATTERNS =
      """
      <defs>
      <pattern id="rise" width="8" height="8" patternUnits="userSpaceOnUse"><rect width="8" height="8" fill="#fff"/><path d="M-2 2L2 -2M0 8L8 0M6 10L10 6" stroke="#7a838d" stroke-width="1.6"/></pattern>
      <pattern id="fall" width="8" height="8" patternUnits="userSpaceOnUse"><rect width="8" height="8" fill="#e6e9ec"/><path d="M-2 6L2 10M0 0L8 8M6 -2L10 2" stroke="#7a838d" stroke-width="1.6"/></pattern>
      <pattern id="dots" width="8" height="8" patternUnits="userSpaceOnUse"><rect width="8" height="8" fill="#fff"/><circle cx="4" cy="4" r="1.4" fill="#7a838d"/></pattern>
      <pattern id="bars" width="7" height="7" patternUnits="userSpaceOnUse"><rect width="7" height="7" fill="#e6e9ec"/><path d="M3.5 0V7" stroke="#9aa3ad" stroke-width="1.2"/></pattern>
      <pattern id="held" width="10" height="10" patternUnits="userSpaceOnUse"><rect width="10" height="10" fill="#ffd98c"/><path d="M0 0L10 10M10 0L0 10" stroke="#c98a12" stroke-width="1"/></pattern>
      </defs>
      """;

  /** Styles of the page. */
  static final String PAGE =
      """
      :root{color-scheme:light;font-size:16px}
      *{box-sizing:border-box}
      body{margin:0 auto;max-width:1160px;padding:1.5rem 2.5rem 4rem;background:#fff;color:#1b1f24;font:1.125rem/1.5 system-ui,sans-serif;overflow-wrap:break-word}
      h1{font-size:2rem;line-height:1.2;margin:.2rem 0 .4rem}
      h2{font-size:1.5rem;line-height:1.25;margin:3rem 0 .8rem;padding-top:.6rem;border-top:2px solid #1b1f24}
      h3{font-size:1.1rem;margin:1.6rem 0 .3rem}
      p{margin:.4rem 0 .8rem;max-width:46rem}
      .quiet{color:#4a525b}
      .run{color:#4a525b;margin:0 0 1.2rem;max-width:none}
      .verdict{display:flex;flex-wrap:wrap;align-items:center;gap:.4rem 2rem;padding:1.1rem 1.6rem;background:#e9ecef;border-left:14px solid #4a525b}
      .verdict strong{font-size:3.6rem;line-height:1.1;letter-spacing:-.01em}
      .verdict p{margin:0;flex:1 1 20rem;font-size:1.2rem;line-height:1.4}
      .verdict.fail{background:#8a1c1c;border-color:#4d0d0d;color:#fff}
      .care{margin:1.2rem 0;padding:.7rem 1.2rem;border:2px solid #1b1f24}
      .care p{margin:.2rem 0;max-width:none;font-size:1rem}
      nav ul{list-style:none;display:flex;flex-wrap:wrap;gap:.1rem 1.4rem;margin:1rem 0 0;padding:0;font-size:1rem}
      nav a{color:#1b1f24;display:inline-block;padding:.2rem 0}
      table{border-collapse:collapse;width:100%;font-variant-numeric:tabular-nums}
      caption,th,td{text-align:left;vertical-align:top}
      caption{font-weight:700;padding:.4rem 0}
      th{font-size:.95rem;color:#4a525b;font-weight:600;border-bottom:1.5px solid #1b1f24;padding:.3rem .9rem .3rem 0}
      td{border-bottom:1px solid #d5d9de;padding:.45rem .9rem .45rem 0}
      td small,td .why{display:block;font-size:.95rem;color:#4a525b;max-width:46rem}
      .n{text-align:right;white-space:nowrap}
      th.n{white-space:normal}
      th:last-child,td:last-child{padding-right:0}
      .when{white-space:nowrap;width:1%;padding-right:2rem}
      .tag{width:1%}
      .word{display:inline-block;min-width:5.9rem;padding:0 .6rem;text-align:center;font-weight:700;background:#e9ecef;border:1.5px solid #e9ecef}
      .word.none{background:#fff;border-color:#8a939d;font-weight:400}
      .word.bad{background:#8a1c1c;border-color:#8a1c1c;color:#fff}
      .word.warn{background:#ffd98c;border-color:#8a5a00}
      .total td{border-top:2px solid #1b1f24;font-weight:700}
      .map td{font-size:.9rem;line-height:1.25;padding:.3rem .35rem;border:1px solid #fff}
      .map td:first-child{white-space:nowrap;border-bottom:1px solid #d5d9de}
      .map th{padding:.3rem .35rem;font-size:.82rem}
      .map td .why{font-size:.8rem}
      .map .h0{background:#eef0f2}
      .map .h1{background:#d5d9de}
      .map .h2{background:#ffd98c}
      .map .h3,.map .h3 .why{background:#8a1c1c;color:#fff}
      figure{margin:1.2rem 0 1.8rem}
      figcaption{font-weight:700;margin-bottom:.2rem}
      figcaption span{font-weight:400;color:#4a525b}
      .wide{overflow-x:auto}
      .wide:focus-visible,a:focus-visible{outline:3px solid #1b1f24;outline-offset:3px}
      svg{display:block;width:100%;height:auto}
      .patterns{position:absolute;width:0;height:0}
      ol.marks{margin:.2rem 0 0;padding-left:2.2rem;font-size:1rem}
      pre{font:.94rem/1.45 ui-monospace,monospace;white-space:pre-wrap;overflow-wrap:anywhere;background:#f3f4f6;padding:1rem}
      .pairs{columns:2;column-gap:3rem}
      .pairs>div{break-inside:avoid}
      .pairs h3{margin:0 0 .3rem}
      .pairs table{margin-bottom:1.4rem}
      @media screen and (max-width:760px){
      body{padding:1rem 1rem 3rem;font-size:1.0625rem}
      h1{font-size:1.6rem}
      .verdict{padding:.9rem 1rem;border-left-width:8px}
      .verdict strong{font-size:2.8rem}
      .pairs{columns:1}
      .wide svg{min-width:820px}
      .map td:first-child{white-space:normal;min-width:7.5rem}
      .when{white-space:normal;width:auto;padding-right:.6rem}
      td,th{padding-right:.6rem}
      .word{min-width:4.6rem;padding:0 .2rem}
      .n small{white-space:normal}
      }
      @media print{
      @page{margin:14mm}
      :root{font-size:9.2pt}
      body{max-width:none;padding:0;line-height:1.4}
      nav{display:none}
      h2{margin-top:1.6rem;break-after:avoid}
      h2+p{break-after:avoid}
      p{break-inside:avoid;max-width:none}
      h3,figcaption,caption{break-after:avoid}
      figure,tr,.verdict,.care{break-inside:avoid}
      .verdict,.word{print-color-adjust:exact;-webkit-print-color-adjust:exact}
      .verdict strong{font-size:32pt}
      .wide{overflow:visible}
      thead{display:table-header-group}
      }
      """;

  /** Average advance of a character in parts of the font size; generous, since fonts differ. */
  private static final double ADVANCE = 0.6;

  private Look() {}

  /** About how wide a text is. */
  static double textWidth(String text, double fontSize) {
    return text.length() * fontSize * ADVANCE;
  }
}
