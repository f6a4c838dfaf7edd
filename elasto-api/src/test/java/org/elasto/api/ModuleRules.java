package org.elasto.api;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import java.util.stream.Stream;

/** The rules of the house that no compiler holds, as checks of a source tree. */
final class ModuleRules {

    /** What a check looked at and what it found wrong. */
    record Finding(int compared, List<String> problems) {}

    /** Everything that may lie in the root beside dot-files and build output. */
    private static final Set<String> ROOT =
            Set.of(
                    "README.md",
                    "DEVELOPERS.md",
                    "LICENSE",
                    "pom.xml",
                    "elasto-api",
                    "elasto-tracking",
                    "elasto-strain",
                    "elasto-bench",
                    "samples");

    private static final List<String> RUNTIME =
            List.of("elasto-api", "elasto-tracking", "elasto-strain");

    private static final Pattern NOT_AT_RUN_TIME =
            Pattern.compile(
                    "java\\.awt|javax\\.|setAccessible|trySetAccessible|System\\.(out|err)\\b"
                            + "|java\\.util\\.logging|System\\.Logger|org\\.slf4j|sun\\.misc");

    private static final Pattern RUNTIME_REQUIRES =
            Pattern.compile("org\\.elasto\\.api|(com\\.)?ejml(\\.\\w+)*|commons\\.math3");

    private static final Pattern COMMENT = Pattern.compile("/\\*.*?\\*/|//[^\n]*", Pattern.DOTALL);

    private static final Pattern REQUIRES =
            Pattern.compile("requires\\s+(?:transitive\\s+|static\\s+)*([\\w.]+)\\s*;");

    private static final Pattern PROVIDES =
            Pattern.compile("provides\\s+([\\w.]+)\\s+with\\s+([\\w.,\\s]+);");

    private static final Pattern IMPORT = Pattern.compile("import\\s+([\\w.]+)\\s*;");

    private static final Pattern PACKAGE = Pattern.compile("package\\s+([\\w.]+)\\s*;");

    private static final Pattern PROVIDER_CLASS =
            Pattern.compile(
                    "^public\\s+(?:final\\s+)?(?:class|record|enum)\\s+(\\w+)[^{]*\\bimplements\\b"
                            + "[^{]*\\b((?:FrameSource|DisplacementEstimator|StrainEstimator"
                            + "|QualityMetric)Provider)\\b",
                    Pattern.MULTILINE);

    private ModuleRules() {}

    /** Folders that .gitignore names: what builds and the README's commands write. */
    private static Set<String> ignored(Path root) {
        Path file = root.resolve(".gitignore");
        Set<String> names = new TreeSet<>(Set.of("target"));
        if (Files.exists(file)) {
            for (String line : read(file).split("\n")) {
                if (line.matches("/?[\\w-]+/")) {
                    names.add(line.replace("/", ""));
                }
            }
        }
        return names;
    }

    static Finding rootIsTidy(Path root) {
        List<String> names = new ArrayList<>();
        List<String> problems = new ArrayList<>();
        Set<String> ignored = ignored(root);
        for (Path path : list(root)) {
            String name = path.getFileName().toString();
            if (!name.startsWith(".") && !ignored.contains(name)) {
                names.add(name);
                if (!ROOT.contains(name)) {
                    problems.add(name + " has no place in the root");
                }
            }
        }
        return new Finding(names.size(), problems);
    }

    /**
     * Every public provider is registered, for those who use modules and for those who do not. The
     * conformance kit is left out of the search for providers, since it may publish wrappers.
     */
    static Finding servicesAgree(Path root) {
        List<String> problems = new ArrayList<>();
        int compared = 0;
        for (Path module : modules(root)) {
            Set<String> provided = provided(module);
            Set<String> listed = listed(module);
            Set<String> written =
                    module.endsWith("elasto-conformance") ? Set.of() : written(module);
            Set<String> all = new TreeSet<>(provided);
            all.addAll(listed);
            all.addAll(written);
            compared += all.size();
            for (String service : all) {
                if (!provided.contains(service)) {
                    problems.add(module + ": module-info does not provide " + service);
                }
                if (!listed.contains(service)) {
                    problems.add(module + ": META-INF/services does not list " + service);
                }
            }
        }
        return new Finding(compared, problems);
    }

    private static Set<String> provided(Path module) {
        String text = code(module.resolve("src/main/java/module-info.java"));
        Map<String, String> imports = new HashMap<>();
        Matcher imported = IMPORT.matcher(text);
        while (imported.find()) {
            String name = imported.group(1);
            imports.put(name.substring(name.lastIndexOf('.') + 1), name);
        }
        Set<String> services = new TreeSet<>();
        Matcher matcher = PROVIDES.matcher(text);
        while (matcher.find()) {
            String contract = imports.getOrDefault(matcher.group(1), matcher.group(1));
            for (String provider : matcher.group(2).trim().split("\\s*,\\s*")) {
                services.add(contract + " by " + imports.getOrDefault(provider, provider));
            }
        }
        return services;
    }

    private static Set<String> listed(Path module) {
        Set<String> services = new TreeSet<>();
        Path folder = module.resolve("src/main/resources/META-INF/services");
        if (Files.isDirectory(folder)) {
            for (Path file : list(folder)) {
                for (String line : read(file).split("\n")) {
                    String provider = line.replaceFirst("#.*", "").trim();
                    if (!provider.isEmpty()) {
                        services.add(file.getFileName() + " by " + provider);
                    }
                }
            }
        }
        return services;
    }

    private static Set<String> written(Path module) {
        Set<String> services = new TreeSet<>();
        for (Path source : sources(module.resolve("src/main/java"))) {
            String text = code(source);
            Matcher packaged = PACKAGE.matcher(text);
            Matcher provider = PROVIDER_CLASS.matcher(text);
            if (provider.find() && packaged.find()) {
                services.add(
                        "org.elasto.api.plugin."
                                + provider.group(2)
                                + " by "
                                + packaged.group(1)
                                + "."
                                + provider.group(1));
            }
        }
        return services;
    }

    static Finding runtimeModulesStayPlain(Path root) {
        List<String> problems = new ArrayList<>();
        int compared = 0;
        for (String name : RUNTIME) {
            for (Path source : sources(root.resolve(name).resolve("src/main/java"))) {
                compared++;
                Matcher matcher = NOT_AT_RUN_TIME.matcher(read(source));
                while (matcher.find()) {
                    problems.add(source + " mentions " + matcher.group());
                }
            }
        }
        return new Finding(compared, problems);
    }

    static Finding runtimeModulesRequireLittle(Path root) {
        List<String> problems = new ArrayList<>();
        int compared = 0;
        for (String name : RUNTIME) {
            Matcher matcher =
                    REQUIRES.matcher(
                            code(root.resolve(name).resolve("src/main/java/module-info.java")));
            while (matcher.find()) {
                compared++;
                if (name.equals("elasto-api")
                        || !RUNTIME_REQUIRES.matcher(matcher.group(1)).matches()) {
                    problems.add(name + " requires " + matcher.group(1));
                }
            }
        }
        return new Finding(compared, problems);
    }

    static Finding trackingAndStrainDoNotMeet(Path root) {
        List<String> problems = new ArrayList<>();
        int compared = 0;
        for (String[] pair :
                new String[][] {
                    {"elasto-tracking", "org.elasto.strain"},
                    {"elasto-strain", "org.elasto.tracking"}
                }) {
            for (Path source : sources(root.resolve(pair[0]).resolve("src"))) {
                compared++;
                if (code(source).contains(pair[1])) {
                    problems.add(source + " knows " + pair[1]);
                }
            }
        }
        return new Finding(compared, problems);
    }

    static Finding packagesAreDescribed(Path root) {
        List<String> problems = new ArrayList<>();
        int compared = 0;
        for (Path module : modules(root)) {
            Set<Path> packages =
                    sources(module.resolve("src/main/java")).stream()
                            .filter(source -> !source.endsWith("module-info.java"))
                            .map(Path::getParent)
                            .collect(Collectors.toCollection(TreeSet::new));
            compared += packages.size();
            for (Path folder : packages) {
                if (!Files.isRegularFile(folder.resolve("package-info.java"))) {
                    problems.add(folder + " has no package-info.java");
                }
            }
        }
        return new Finding(compared, problems);
    }

    /** A module's own file names one version, that of its parent. */
    static Finding versionsStandInTheRoot(Path root) {
        List<String> problems = new ArrayList<>();
        int compared = 0;
        for (Path module : modules(root)) {
            compared++;
            String text = read(module.resolve("pom.xml"));
            if (text.split("<version>", -1).length != 2) {
                problems.add(module + ": its pom.xml has a version beside its parent's");
            }
        }
        return new Finding(compared, problems);
    }

    /** Folders with a module-info, here and one level below. */
    private static List<Path> modules(Path root) {
        List<Path> modules = new ArrayList<>();
        for (Path folder : list(root)) {
            if (!Files.isDirectory(folder) || folder.getFileName().toString().startsWith(".")) {
                continue;
            }
            Stream.concat(Stream.of(folder), list(folder).stream())
                    .filter(f -> Files.isRegularFile(f.resolve("src/main/java/module-info.java")))
                    .forEach(modules::add);
        }
        return modules;
    }

    private static List<Path> sources(Path folder) {
        if (!Files.isDirectory(folder)) {
            return List.of();
        }
        try (Stream<Path> files = Files.walk(folder)) {
            return files.filter(file -> file.toString().endsWith(".java")).sorted().toList();
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    private static List<Path> list(Path folder) {
        try (Stream<Path> files = Files.list(folder)) {
            return files.sorted().toList();
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    /** A source file without its comments. */
    private static String code(Path file) {
        return COMMENT.matcher(read(file)).replaceAll(" ");
    }

    private static String read(Path file) {
        try {
            return Files.readString(file);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }
}
