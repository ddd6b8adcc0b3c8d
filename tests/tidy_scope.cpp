// A plugin of clang-tidy 14: the checks walk through our own code alone. Of a source's text nine
// tenths are library headers, where nothing is reported, but where most of the time would go.
#include <clang-tidy/ClangTidyCheck.h>
#include <clang-tidy/ClangTidyModule.h>
#include <clang-tidy/ClangTidyModuleRegistry.h>
#include <clang/Frontend/CompilerInstance.h>
#include <clang/Lex/Preprocessor.h>

#include <vector>

namespace {

class Scope : public clang::tidy::ClangTidyCheck {
 public:
  using ClangTidyCheck::ClangTidyCheck;

  void registerPPCallbacks(const clang::SourceManager&, clang::Preprocessor* preprocessor,
                           clang::Preprocessor*) override {
    // The one way from here to the syntax tree: who compiles is who loads modules.
    compiler_ = static_cast<clang::CompilerInstance*>(&preprocessor->getModuleLoader());
  }

  void registerMatchers(clang::ast_matchers::MatchFinder* finder) override {
    finder->addMatcher(clang::ast_matchers::translationUnitDecl(), this);
  }

  void onStartOfTranslationUnit() override {
    clang::ASTContext& context = compiler_->getASTContext();
    std::vector<clang::Decl*> ours;
    for (clang::Decl* part : context.getTranslationUnitDecl()->decls())
      if (!context.getSourceManager().isInSystemHeader(part->getLocation())) ours.push_back(part);
    context.setTraversalScope(ours);
  }

 private:
  clang::CompilerInstance* compiler_ = nullptr;
};

class Module : public clang::tidy::ClangTidyModule {
 public:
  void addCheckFactories(clang::tidy::ClangTidyCheckFactories& factories) override {
    factories.registerCheck<Scope>("trencher-scope");
  }
};

const clang::tidy::ClangTidyModuleRegistry::Add<Module> added("trencher", "Our own code alone.");

}  // namespace
