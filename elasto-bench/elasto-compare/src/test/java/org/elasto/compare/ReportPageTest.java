package org.elasto.compare;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** The report, as text and in a browser. */
class ReportPageTest {

    private static final String TITLE = "Trackers & <script>alert('no')</script> \"quoted\"";

    private static Path folder;
    private static String text;
    private static String html;

    @BeforeAll
    static void makeReport() throws IOException {
        folder = Files.createTempDirectory("report");
        text =
                "title = '''"
                        + TITLE
                        + "'''\n"
                        + "[[source]]\nlocation = \"missing.h5\"\n"
                        + ComparisonFolder.SOURCE.replace(
                                "frames = 3", "frames = 3, snr = [20, 40]")
                        + ComparisonFolder.ESTIMATORS;
        ComparisonFolder comparison = new ComparisonFolder(folder);
        Commands.Outcome outcome = comparison.compare(text);
        assertEquals(1, outcome.status(), outcome.err()); // missing.h5
        html = Files.readString(comparison.out().resolve("report.html"));
    }

    @AfterAll
    static void clear() throws IOException {
        try (Stream<Path> all = Files.walk(folder)) {
            for (Path path : all.sorted(Comparator.reverseOrder()).toList()) {
                Files.delete(path);
            }
        }
    }

    @Test
    void nothingIsFetchedFromElsewhere() {
        Matcher addresses = Pattern.compile("(?:src|href)=\"([^\"]*)\"").matcher(html);
        int count = 0;
        while (addresses.find()) {
            String address = addresses.group(1);
            assertTrue(
                    address.startsWith("data:") || address.startsWith("#"),
                    address.substring(0, Math.min(80, address.length())));
            count++;
        }
        assertTrue(count > 20, "addresses: " + count);
        String own = html.replaceAll("base64,[A-Za-z0-9+/=]*", "");
        assertFalse(own.contains("://"), "an address of the network");
        assertFalse(own.contains("@import") || own.contains("url("), "something is fetched");
    }

    @Test
    void allThatIsNeededToRepeatItIsThere() {
        assertTrue(html.contains("<pre id=\"file\">" + Html.text(text) + "</pre>"));
        assertTrue(html.contains(Html.text(Main.Version.text())));
        assertTrue(html.contains("window-length="));
        assertTrue(html.contains("seed=3"));
        assertEquals(3, html.split("Not a medical device", -1).length);
    }

    @Test
    void textsCannotBecomeMarks() {
        assertFalse(html.contains("<script>alert"), "the title became a script");
        assertTrue(html.contains("<h1>" + Html.text(TITLE) + "</h1>"));
    }

    /** What the browser found, by name. */
    private static String found(String dom, String name) {
        Matcher matcher = Pattern.compile("data-found-" + name + "=\"([^\"]*)\"").matcher(dom);
        assertTrue(matcher.find(), name + " was not found; the script did not run");
        return matcher.group(1);
    }

    private static String browse(Path page, String... options)
            throws IOException, InterruptedException {
        Path profile = Files.createTempDirectory(folder, "profile");
        List<String> line =
                new ArrayList<>(
                        List.of(
                                OutsideTools.chromium().toString(),
                                "--headless",
                                "--no-sandbox",
                                "--disable-gpu",
                                "--disable-dev-shm-usage",
                                "--user-data-dir=" + profile));
        line.addAll(List.of(options));
        line.add(page.toUri().toString());
        Commands.Outcome outcome = OutsideTools.run(line);
        assertEquals(0, outcome.status(), outcome.err());
        return outcome.out();
    }

    /** Gathers errors from before the page's own script, and looks around behind it. */
    private static Path watched() throws IOException {
        String before =
                """
<script>
window.problems = [];
window.addEventListener("error", (e) => problems.push(e.message || "load " + e.target.src), true);
for (const kind of ["error", "warn"]) console[kind] = (text) => problems.push(kind + " " + text);
</script>
""";
        String after =
                """
<script>
window.addEventListener("load", () => {
  const found = document.documentElement.dataset;
  const put = (name, value) => document.documentElement.setAttribute("data-found-" + name, value);
  const images = [...document.images];
  put("images", images.length);
  put("broken", images.filter((i) => !(i.complete && i.naturalWidth > 0)).length);
  put("wide", document.documentElement.scrollWidth - window.innerWidth);
  const outside = [...document.body.querySelectorAll("h1, h2, h3, p, figure, pre, dl, .wide")]
      .filter((e) => e.getBoundingClientRect().right > window.innerWidth + 1);
  put("outside", outside.length);
  const small = [...document.body.querySelectorAll("*")].filter((e) =>
      e.textContent.trim() && parseFloat(getComputedStyle(e).fontSize) < 12.5);
  put("small", small.length);
  const table = document.getElementById("table");
  const headings = [...table.tHead.rows[0].cells];
  const column = headings.findIndex((h) => h.textContent.startsWith("displacement error"));
  const values = () => [...table.tBodies[0].rows].map((r) => r.cells[column].dataset.value).join(" ");
  put("unsorted", values());
  const button = headings[column].querySelector("button");
  button.click();
  put("rising", values());
  put("aria", headings[column].getAttribute("aria-sort"));
  button.click();
  put("falling", values());
  headings[1].querySelector("button").click();
  put("names", [...table.tBodies[0].rows].map((r) => r.cells[1].textContent).join(" "));
  const scores = document.getElementById("quality");
  scores.tHead.rows[0].cells[0].querySelector("button").click();
  put("scores", scores.tBodies[0].rows.length);
  put("sorted", document.querySelectorAll("[aria-sort]").length);
  put("problems", problems.join("; "));
});
</script>
""";
        return Files.writeString(
                folder.resolve("watched.html"),
                html.replace("<title>", before + "<title>").replace("</body>", after + "</body>"),
                StandardCharsets.UTF_8);
    }

    private static double[] numbers(String text) {
        return Stream.of(text.split(" ")).mapToDouble(Double::parseDouble).toArray();
    }

    @ParameterizedTest
    @ValueSource(ints = {1280, 800})
    void theBrowserShowsAndSortsIt(int width) throws IOException, InterruptedException {
        String dom = browse(watched(), "--window-size=" + width + ",900", "--dump-dom");
        assertEquals("", found(dom, "problems"));
        assertEquals("0", found(dom, "broken"));
        // Two sources of echo, truth, two strains, two errors, two scales; two profiles each, and
        // five plots.
        assertEquals("" + (2 * (6 + 2 + 2) + 5), found(dom, "images"));
        assertTrue(Integer.parseInt(found(dom, "wide")) <= 0, "the page moves sideways");
        assertEquals("0", found(dom, "outside"));
        assertEquals("0", found(dom, "small"));

        double[] unsorted = numbers(found(dom, "unsorted"));
        double[] sorted = unsorted.clone();
        java.util.Arrays.sort(sorted);
        assertEquals(4, unsorted.length);
        assertFalse(java.util.Arrays.equals(unsorted, sorted), "sorted before");
        org.junit.jupiter.api.Assertions.assertArrayEquals(sorted, numbers(found(dom, "rising")));
        assertEquals("ascending", found(dom, "aria"));
        double[] falling = numbers(found(dom, "falling"));
        for (int i = 0; i < sorted.length; i++) {
            assertEquals(sorted[sorted.length - 1 - i], falling[i]);
        }
        assertEquals(
                "coarse-to-fine-phase coarse-to-fine-phase cross-correlation cross-correlation",
                found(dom, "names"));
        assertEquals("4", found(dom, "scores"));
        assertEquals("2", found(dom, "sorted")); // one column of each table
    }

    @Test
    void itPrintsOnPagesLyingDown() throws IOException, InterruptedException {
        Path pdf = folder.resolve("report.pdf");
        browse(watched(), "--no-pdf-header-footer", "--print-to-pdf=" + pdf);
        String content = Files.readString(pdf, StandardCharsets.ISO_8859_1);
        assertTrue(content.startsWith("%PDF-"), "no PDF");
        int pages = content.split("/Type /Page\\b(?!s)", -1).length - 1;
        assertTrue(pages >= 3 && pages <= 12, pages + " pages");
        Matcher box = Pattern.compile("/MediaBox \\[0 0 ([\\d.]+) ([\\d.]+)]").matcher(content);
        assertTrue(box.find());
        // A4 in points, long side across.
        assertEquals(841.9, Double.parseDouble(box.group(1)), 1);
        assertEquals(595.3, Double.parseDouble(box.group(2)), 1);
    }
}
